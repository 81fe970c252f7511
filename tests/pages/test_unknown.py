"""What is not recorded reads so: records with nothing but what they must have."""

import re
from pathlib import Path

import pytest

from recordgen.pages.page import Page
from recordgen.pages.table import PAGE_KINDS, all_pages
from recordgen.portfolio import load_portfolio
from recordgen.records.building import BuildingRecords
from tests.conftest import AS_OF
from tests.pages.reading import Element, read
from tests.records.test_models import KINDS, parts_of

LEAST = """
building: {name: Shed}
rooms: {R1: }
sources:
  U: {kind: utility}
  G: {kind: generator}
  PV: {kind: photovoltaic}
  B: {kind: battery storage, stored_energy: {kind: battery}, grounding: {system: ungrounded}}
  IN: {kind: generator inlet, arc_flash: {}}
panels:
  P:
    kind: panelboard
    fed_from: U
    circuits:
      1:
      2: {device: {}, loads: {L-2: {kind: motor}}}
      3: {loads: {L-3: {kind: lighting, connection: fixed, local_disconnect: {}}}, conductors: {}}
      4: {loads: unknown}
      5: {loads: none}
      6: spare
      7: space
      8: {backfed_from: PV}
      9-11: {present: {position: open, since: 2026-01-01}}
      10: {lock_in_force: {since: 2026-01-01, by: A.}}
      12: {neutral_checked: {date: 2026-01-01, by: A.}}
  Q: {kind: load centre}
  S:
    kind: switchboard
    main: lugs
    recorded_demand: {demand: 10 kVA, first_day: 2026-01-01, last_day: 2026-02-01}
    recorded_fault: {current: 10 kA}
    temporary_feeds: [{fed_from: P/5, since: 2026-01-01}]
  M: {kind: motor control centre}
  BW: {kind: busway, feeder: {}}
equipment:
  T: {kind: transformer}
  A: {kind: transfer switch, normal_from: P/1, emergency_from: G}
  UP: {kind: UPS}
  D: {kind: disconnect}
  BT: {kind: bus tie, between: [P, Q]}
  MS: {kind: motor starter}
  VF: {kind: variable-frequency drive}
  J: {kind: junction box}
loads:
  L: {kind: motor}
cables:
  C: {kind: coax}
  C2: {kind: coax, ends: [{}, {}]}
runs:
  RU: {of: P/1, landmarks: [{what: wall}]}
traces:
  TR: {date: 2026-01-01, by: A., purpose: identify the breaker}
  TR2: {date: 2026-01-01, by: A., purpose: follow a run, readings: [{at: wall, values: 7}]}
  TR3:
    date: 2026-01-01
    by: A.
    purpose: locate a short
    echo: {time: 412 ns}
    bridge: {sound_arm: 3 ohm, faulty_arm: 1 ohm}
faults:
  F: {kind: open, description: dead}
  F2:
    kind: short
    description: trips
    steps:
      - {step: found, date: 2026-01-01, by: A., measured: {quantity: voltage, value: 3 V}}
      - {step: retested, date: 2026-01-02, by: A., trace: TR3}
instruments:
  I: {kind: multimeter}
inspections:
  N: {kind: lockout sheet, of: P, date: 2026-01-01, by: A.}
"""


@pytest.fixture(scope="module")
def least(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Page]:
    folder = tmp_path_factory.mktemp("least") / "shed"
    folder.mkdir()
    (folder / "all.yaml").write_text(LEAST, encoding="utf-8")
    portfolio = load_portfolio(folder.parent, AS_OF)
    assert [str(p) for p in portfolio.problems if p.severity == "error"] == []
    kinds = {type(part).__name__ for part in parts_of(portfolio.buildings["shed"].records)}
    # Every kind of record is there; a contact is a role and no less.
    assert {name for name in KINDS if not name.startswith("_")} - kinds <= {"Placed", "Contact"}
    assert set(BuildingRecords.model_fields) - {"building"} <= set(_sections(LEAST))
    return {page.path: page for page in all_pages(portfolio)}


def _sections(text: str) -> list[str]:
    return re.findall(r"^(\w+):", text, re.MULTILINE)


def facts(document: Element) -> dict[str, str]:
    """Return name → value of every list of facts on a page."""
    return {
        next(pair.all("dt")).text: next(pair.all("dd")).text
        for listed in document.of_class("rg-facts")
        for pair in listed.all("div")
    }


def test_every_page_kind_is_made_of_the_least(least: dict[str, Page]) -> None:
    folders = {"/".join(path.split("/")[1:-1]) or path for path in least}
    assert {"panels", "downstream", "lockout", "rooms"} <= folders
    assert len(folders) >= len(PAGE_KINDS)


def test_nothing_unknown_shows_as_a_value(least: dict[str, Page]) -> None:
    for path, page in least.items():
        document = read(page.html)
        words = re.findall(
            r"\b(?:None(?! recorded)|nan|null|True|False|Undefined)\b|\(\)|\[\]", document.text
        )
        assert words == [], path
        # No amount that nobody has written: no 0 A, no 0 V.
        assert re.findall(r"\b0(?:\.0)? (?:A|V|VA|kVA|W|ft|m|min)\b", document.text) == [], path
        signing = [id(cell) for t in document.of_class("rg-sign") for cell in t.all("td")]
        for entry in document.all("dd", "td"):
            # A phase that does not follow, a line to sign, and a note that nobody wrote.
            may_be_empty = entry.has_class("rg-phase") or entry.has_class("rg-remark")
            assert entry.text or may_be_empty or id(entry) in signing, path


@pytest.mark.parametrize(
    ("path", "names"),
    [
        (
            "shed/panels/Q.html",
            ["System", "Bus rating", "Main", "Interrupting rating", "Fed from", "Room"],
        ),
        ("shed/panels/P.html", ["Device", "Conductors", "System", "Bus rating"]),
    ],
)
def test_what_a_reader_looks_for_is_named_and_not_recorded(
    least: dict[str, Page], path: str, names: list[str]
) -> None:
    found = facts(read(least[path].html))
    assert {name: found[name] for name in names} == dict.fromkeys(names, "not recorded")


def test_equipment_and_sources_without_facts_say_so(least: dict[str, Page]) -> None:
    text = read(least["shed/equipment.html"].html).text
    assert text.count("not recorded") >= 10


@pytest.mark.parametrize("tag", ["L", "T", "Q", "M", "UP", "D", "J", "VF", "MS"])
def test_what_nobody_knows_the_source_of_is_never_called_dead(
    least: dict[str, Page], tag: str
) -> None:
    document = read(least[f"shed/lockout/{tag}.html"].html)
    (box,) = document.of_class("rg-answer")
    assert box.has_class("rg-answer--no") or box.has_class("rg-answer--unproven")
    assert "not recorded" in box.text
    assert "Every recorded source is cut off" not in document.text


def test_locking_that_is_not_recorded_does_not_lock(least: dict[str, Page]) -> None:
    """The utility is the only source of P, and no device of P is recorded as lockable."""
    document = read(least["shed/lockout/P/2.html"].html)
    (box,) = document.of_class("rg-answer")
    assert box.has_class("rg-answer--unproven")
    assert "not recorded as lockable" in document.text


def test_an_empty_portfolio_and_an_empty_building(tmp_path: Path) -> None:
    portfolio = load_portfolio(tmp_path, AS_OF)
    if portfolio.readable:
        assert [page.path for page in all_pages(portfolio)] == ["index.html"]
    folder = tmp_path / "shed"
    folder.mkdir()
    (folder / "all.yaml").write_text("building: {name: Shed}\n", encoding="utf-8")
    pages = list(all_pages(load_portfolio(tmp_path, AS_OF)))
    assert {"index.html", "shed/index.html"} <= {page.path for page in pages}
    assert all("None" not in read(p.html).text.replace("None recorded", "") for p in pages)
