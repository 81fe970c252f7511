"""What labels say: nothing that brings energy is left out, unknown is said, a STOP is on it."""

import typing
from pathlib import Path

import pytest
from pydantic import BaseModel

from recordgen.pages.label_values import FEEDS, MAKERS, STOP, Label
from recordgen.pages.view import View
from recordgen.records.equipment import Equipment
from recordgen.records.parts import TemporaryFeed
from recordgen.records.positions import Reference
from recordgen.records.supply import Load, Panel
from tests.network.asking import portfolio

RECORDS = """
sources: {UTIL: {kind: utility}, GEN: {kind: generator}}
panels:
  MSB: {kind: switchboard, main: lugs, fed_from: UTIL, circuits: {1: {}, 2: {}, 3: {}}}
  EB: {kind: switchboard, main: lugs, fed_from: GEN, circuits: {1: {}, 2: {}}}
  P:
    kind: panelboard
    main: lugs
    fed_from: ATS
    temporary_feeds: [{fed_from: MSB/3, since: 2026-11-01}]
    circuits:
      1:
        device: 20 A
        neutral_shared_with: 3
        loads:
          R-1: {kind: receptacle, description: bench}
          M-1: {kind: motor, description: fan}
      3: {description: Other half, device: 20 A, loads: {L-3: {kind: lighting, connection: plug}}}
      5: {device: 20 A, loads: unknown}
      7: {device: 20 A}
      9: space
equipment:
  ATS: {kind: transfer switch, normal_from: MSB/1, emergency_from: EB/1, operation: automatic}
  UPS: {kind: UPS, fed_from: MSB/2, maintenance_bypass_from: EB/2}
loads:
  RACK: {kind: IT, connection: plug, fed_from: [P/1, P/3]}
  AHU: {kind: HVAC, fed_from: UPS, control_power_from: P/3}
  LOST: {kind: HVAC, fed_from: unknown}
"""


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, Label]]:
    view = View(portfolio(tmp_path_factory.mktemp("plant"), RECORDS))
    return {
        of: {label.tag[5:]: label for label in make(view, "home")} for of, make in MAKERS.items()
    }


def said(label: Label) -> list[str]:
    return [str(line) for line in label.lines]


def refers(annotation: object) -> bool:
    """Say whether a field holds references, or temporary feeds."""
    if annotation in (Reference, TemporaryFeed):
        return True
    return any(refers(part) for part in typing.get_args(annotation))


@pytest.mark.parametrize("model", [Panel, Load, *typing.get_args(Equipment)])
def test_every_field_that_brings_energy_is_on_the_label(model: type[BaseModel]) -> None:
    # What these point at brings no energy to the thing itself.
    others = {"crossed_by", "interlocked_with", "depends_on", "serves"}
    found = {name for name, field in model.model_fields.items() if refers(field.annotation)} | {
        name for name in model.model_fields if name.endswith("_from")
    }
    assert found - others <= set(FEEDS)
    assert found


def test_all_feeds_of_a_thing_are_named(made: dict[str, dict[str, Label]]) -> None:
    assert "Fed from: ATS; temporary MSB/3" in said(made["panels"]["P"])
    equipment = made["equipment"]
    assert "Fed from: normal MSB/1; emergency EB/1" in said(equipment["ATS"])
    assert "Fed from: MSB/2; maintenance bypass EB/2" in said(equipment["UPS"])
    assert "Fed from: UPS" in said(equipment["AHU"])
    assert "Control power from: P/3" in said(equipment["AHU"])
    assert "Fed from: not recorded" in said(equipment["LOST"])


def test_every_source_that_can_reach_a_panel_is_named(made: dict[str, dict[str, Label]]) -> None:
    (line,) = (line for line in said(made["panels"]["P"]) if line.startswith("Sources"))
    assert {"UTIL", "GEN", "UPS/battery"} <= set(line.partition(": ")[2].split(", "))


def test_what_a_circuit_serves(made: dict[str, dict[str, Label]]) -> None:
    circuits = made["circuits"]
    assert said(circuits["P/1"])[0].startswith("R-1, M-1")
    assert "Neutral shared with: P/3" in said(circuits["P/1"])
    assert "loads not recorded" in said(circuits["P/5"])
    assert "what it serves not recorded" in said(circuits["P/7"])
    assert "P/9" not in circuits


def test_an_outlet_names_all_its_circuits(made: dict[str, dict[str, Label]]) -> None:
    outlets = made["outlets"]
    assert set(outlets) == {"R-1", "L-3", "RACK"}
    assert outlets["RACK"].head == "P/1 + P/3"
    assert "Evidence: P/1 unverified, P/3 unverified" in said(outlets["RACK"])


def test_each_load_has_one_label_at_most(made: dict[str, dict[str, Label]]) -> None:
    assert set(made["outlets"]) & set(made["equipment"]) == set()
    assert {"M-1", "AHU", "LOST"} <= set(made["equipment"])


def test_a_stop_is_on_the_label(made: dict[str, dict[str, Label]]) -> None:
    label = made["equipment"]["LOST"]
    assert label.stop
    assert said(label)[0] == STOP
    assert not made["equipment"]["AHU"].stop


def test_the_revision_follows_the_text_alone(tmp_path: Path) -> None:
    def revisions(text: str, place: str) -> dict[str, str]:
        view = View(portfolio(tmp_path / place, text))
        return {label.tag: label.revision for label in MAKERS["circuits"](view, "home")}

    before = revisions(RECORDS, "before")
    after = revisions(RECORDS.replace("Other half", "Bench"), "after")
    assert {tag for tag in before if before[tag] != after[tag]} == {"home:P/3"}
