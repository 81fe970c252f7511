from pathlib import Path

import pytest

from recordgen.checks import gfci_place
from recordgen.problems import Problem
from tests.checks.running import examples, facts, told
from tests.network.asking import portfolio

# The circuit stands in line 8, from column 5.
RECORDS = """
rooms: {{7: {{name: Wash room, location: {places}}}, 8: {{name: Hall}}}}
sources: {{UTIL: {{kind: utility}}}}
panels:
  LP-1:
    {{kind: panelboard, system: {system}, main: lugs, {said} fed_from: UTIL, circuits: {{
    {circuits}
    }}}}
"""


def found(
    folder: Path,
    circuits: str,
    *,
    places: str = "bathroom",
    system: str = "208Y/120",
    said: str = "",
    more: str = "",
    about: str = ", code_edition: NEC 2020",
) -> list[Problem]:
    text = RECORDS.format(places=places, system=system, said=said, circuits=circuits) + more
    return list(gfci_place.check(facts(portfolio(folder, text, about=about))))


def circuit(load: str, device: str = "20 A", position: str = "14") -> str:
    return f"{position}: {{device: {device}, loads: {{RC-1: {{{load}}}}}}}"


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(gfci_place, "Passing")
    assert found(tmp_path, example) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(gfci_place, "Failing")
    problems = found(tmp_path, example)
    assert told(problems) == [(8, 5, "note", "gfci-place")]
    assert problems[0].subjects == ("home:LP-1/14", "home:RC-1")
    assert "14 in 7 (bathroom); NEC 2020 210.8(B)" in problems[0].message


@pytest.mark.parametrize(
    ("load", "device", "severities"),
    [
        ("kind: receptacle, room: 7, gfci: yes", "20 A", []),
        ("kind: receptacle, room: 7, gfci: no", "20 A", ["warning"]),
        ("kind: receptacle, room: 8", "20 A", []),
        ("kind: receptacle", "20 A", []),
        ("kind: lighting, room: 7", "20 A", []),
        ("kind: kitchen, connection: plug, room: 7", "20 A", ["note"]),
        ("kind: kitchen, connection: fixed, room: 7", "20 A", []),
        ("kind: receptacle, room: 7", "20 A dual-function breaker", []),
        ("kind: receptacle, room: 7", "20 A AFCI breaker", ["note"]),
        # Protection of equipment trips too late for people.
        ("kind: receptacle, room: 7", "20 A GFPE breaker", ["note"]),
        ("kind: receptacle, room: 7", "60 A", []),
        ("kind: receptacle, room: 7", "{kind: breaker}", ["note"]),
    ],
)
def test_what_counts(tmp_path: Path, load: str, device: str, severities: list[str]) -> None:
    assert [p.severity for p in found(tmp_path, circuit(load, device))] == severities


# Volts to ground are those of the system: 277 V, and 208 V of a high leg, are above 150 V.
@pytest.mark.parametrize(
    ("system", "position", "count"),
    [
        ("480Y/277", "14", 0),
        ("240/120 high-leg delta", "14", 1),
        ("240/120 high-leg delta", "16", 0),
        ("240/120 high-leg delta", "14-16", 0),
        ("240/120 high-leg delta", "1-3-5", 0),
        ("208Y/120", "1-3-5", 1),
    ],
)
def test_volts_to_ground(tmp_path: Path, system: str, position: str, count: int) -> None:
    text = circuit("kind: receptacle, room: 7", position=position)
    assert len(found(tmp_path, text, system=system)) == count


def test_places_are_those_of_the_edition(tmp_path: Path) -> None:
    (example,) = examples(gfci_place, "Failing")
    old = ", code_edition: NEC 2017"
    assert found(tmp_path / "1", example, places="laundry", about=old) == []
    assert len(found(tmp_path / "2", example, places="laundry")) == 1


def test_without_an_edition_the_last_one_is_taken_and_said(tmp_path: Path) -> None:
    (example,) = examples(gfci_place, "Failing")
    (problem,) = found(tmp_path, example, about="")
    assert "the edition in force is not recorded" in problem.message


def test_dwellings_and_isolated_power_are_left_out(tmp_path: Path) -> None:
    (example,) = examples(gfci_place, "Failing")
    assert found(tmp_path / "1", example, about=", occupancy: dwelling") == []
    assert found(tmp_path / "2", example, said="isolated_power: yes,") == []


def test_a_panel_is_one_finding_with_all_its_circuits(tmp_path: Path) -> None:
    (example,) = examples(gfci_place, "Failing")
    second = "16: {device: 20 A, loads: {RC-2: {kind: receptacle, room: 7}}}"
    (problem,) = found(tmp_path, f"{example},\n    {second}")
    assert problem.subjects == ("home:LP-1/14", "home:LP-1/16", "home:RC-1", "home:RC-2")
    assert [(place.line, place.column) for place in problem.related] == [(9, 5)]


def test_what_hangs_on_a_box_hangs_on_its_circuit(tmp_path: Path) -> None:
    more = """equipment: {JB: {kind: junction box, fed_from: LP-1/14}}
loads: {RC-1: {kind: receptacle, room: 7, fed_from: JB}}
"""
    (problem,) = found(tmp_path / "1", "14: {device: 20 A}", more=more)
    assert problem.subjects == ("home:LP-1/14", "home:RC-1")
    assert found(tmp_path / "2", "14: {device: 20 A GFCI breaker}", more=more) == []
