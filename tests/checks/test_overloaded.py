from pathlib import Path

import pytest

from recordgen.checks import overloaded
from recordgen.problems import Problem
from tests.checks.running import examples, facts, told
from tests.network.asking import portfolio

# A circuit stands in line 7, from column 5; demand needs the edition of the code.
PANEL = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  LP-1:
    {{kind: panelboard, system: {system}, {rated} fed_from: UTIL, circuits: {{
    {circuits}
    }}}}
"""


def over(
    folder: Path, circuits: str, system: str = "120/240", rated: str = "main: lugs,", more: str = ""
) -> list[Problem]:
    text = PANEL.format(system=system, rated=rated, circuits=circuits) + more
    found = portfolio(folder, text, about=", code_edition: NEC 2020")
    return list(overloaded.check(facts(found)))


def branch(loads: str, rating: int = 20) -> str:
    return f"1: {{device: {rating} A, loads: {{{loads}}}}}"


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(overloaded, "Passing")
    assert over(tmp_path, example) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(overloaded, "Failing")
    problems = over(tmp_path, example)
    assert told(problems) == [(7, 19, "warning", "overloaded")]
    assert problems[0].subjects == ("home:LP-1/2-4",)
    # 6 kW at 240 V: 25 A, by hand.
    assert "25 A on its device of 20 A" in problems[0].message


# NEC 210.20(A) (from memory): 125 % of continuous load; a 20 A device at 120 V carries 2400 VA, or
# 1920 VA of continuous load.
@pytest.mark.parametrize(
    ("loads", "count"),
    [
        ("A: {kind: IT, power: 2.4 kVA, continuous: no}", 0),
        ("A: {kind: IT, power: 2.5 kVA, continuous: no}", 1),
        ("A: {kind: IT, power: 1.9 kVA, continuous: yes}", 0),
        ("A: {kind: IT, power: 2 kVA, continuous: yes}", 1),
        ("A: {kind: lighting, power: 2 kVA}", 1),
        ("A: {kind: lighting, power: 2 kVA, continuous: no}", 0),
        # A motor's quarter is for conductors (430.22).
        ("A: {kind: fan, power: 2 kVA}", 0),
        ("A: {kind: welder, power: 9 kVA}", 0),
        # Outlets and what plugs into them are one load; what is fixed comes on top.
        ("R: {kind: receptacle, quantity: 6}, K: {kind: IT, power: 2 kVA, connection: plug}", 0),
        ("R: {kind: receptacle, quantity: 6}, K: {kind: IT, power: 2 kVA, connection: fixed}", 1),
        ("R: {kind: receptacle, quantity: 14}", 1),
    ],
)
def test_branch_circuits(tmp_path: Path, loads: str, count: int) -> None:
    assert len(over(tmp_path, branch(loads))) == count


def test_a_branch_circuit_goes_on_through_a_gutter(tmp_path: Path) -> None:
    more = """equipment: {JB: {kind: junction box, fed_from: LP-1/1}}
loads: {A: {kind: IT, power: 3 kVA, continuous: no, fed_from: JB}}
"""
    (problem,) = over(tmp_path, "1: {device: 20 A}", more=more)
    assert "25 A" in problem.message
    assert "210.20(A)" in problem.message


# Demand by hand: 24 kVA of data equipment, not continuous, is 100 A at 240 V; continuous 125 A.
@pytest.mark.parametrize(
    ("rated", "continuous", "named"),
    [
        ("main: 100 A, bus_rating: 125 A,", "no", None),
        ("main: 100 A, bus_rating: 125 A,", "yes", "main device of 100 A"),
        ("main: 125 A, bus_rating: 100 A,", "yes", "bus of 100 A"),
        ("main: lugs, bus_rating: 125 A,", "yes", None),
    ],
)
def test_panels(tmp_path: Path, rated: str, continuous: str, named: str | None) -> None:
    circuit = branch(f"A: {{kind: IT, power: 24 kVA, continuous: {continuous}}}", 200)
    problems = over(tmp_path, circuit.replace("1:", "1-3:"), rated=rated)
    assert len(problems) == (named is not None)
    if named is not None:
        assert f"125 A on its {named}" in problems[0].message
        assert problems[0].subjects == ("home:LP-1",)


def test_the_largest_motor_adds_to_the_bus_and_not_to_the_device(tmp_path: Path) -> None:
    # NEC table 430.250: 28 A for 10 hp at 230 V; 430.24 makes it 35 A.
    circuit = "1-3-5: {device: 60 A, loads: {A: {kind: pump, power: 10 hp, voltage: 240 V}}}"
    delta = "240 delta"
    assert over(tmp_path / "1", circuit, delta, "main: 30 A,") == []
    (problem,) = over(tmp_path / "2", circuit, delta, "main: lugs, bus_rating: 30 A,")
    assert "35 A on its bus of 30 A" in problem.message


def test_a_transformer_carries_the_demand(tmp_path: Path) -> None:
    more = """  LP-2: {kind: panelboard, system: 120/240, main: lugs, fed_from: T-1, circuits: {
    1-3: {device: 80 A, loads: {A: {kind: IT, power: 12 kVA, continuous: yes}}}}}
equipment:
  T-1: {kind: transformer, rating: 10 kVA, secondary: 120/240, fed_from: LP-1/1-3}
"""
    problems = over(tmp_path, "1-3: {device: 90 A}", more=more)
    # 12 kVA and 10 kVA at 240 V.
    assert told(problems) == [(12, 36, "warning", "overloaded")]
    assert "50 A on its transformer of 10 kVA, 42 A" in problems[0].message


def test_a_load_that_needs_both_of_its_feeds_is_counted_where_they_meet(tmp_path: Path) -> None:
    circuits = "1: {device: 20 A}, 3: {device: 20 A}"
    load = """loads:
  A: {kind: IT, power: 12 kVA, continuous: no, needs: all, fed_from: [LP-1/1, LP-1/3]}
"""
    problems = over(tmp_path, circuits, rated="main: 40 A,", more=load)
    # 12 kVA at 240 V are 50 A, and so are 6 kVA of each leg at 120 V.
    told_of = [problem.subjects for problem in problems]
    assert sorted(told_of) == [("home:LP-1",), ("home:LP-1/1",), ("home:LP-1/3",)]
    assert all("50 A" in problem.message for problem in problems)


def test_what_is_not_recorded_makes_it_at_least(tmp_path: Path) -> None:
    (problem,) = over(tmp_path, branch("A: {kind: IT, power: 3 kVA}, B: {kind: IT}"))
    assert "at least" in problem.message


def test_without_an_edition_there_is_no_demand(tmp_path: Path) -> None:
    circuit = "1-3: {device: 200 A, loads: {A: {kind: IT, power: 24 kVA}}}"
    text = PANEL.format(system="120/240", rated="main: 50 A,", circuits=circuit)
    assert list(overloaded.check(facts(portfolio(tmp_path, text)))) == []


RECORDED = """recorded_demand: {{demand: {demand}, first_day: 2026-07-01, last_day: 2026-08-10,
    interval: 15 min, without_gaps: yes, heaviest_phase: yes, occupied: yes, season_counted: yes,
    own_generation: {own}}},"""


# 24 kVA are calculated on a main of 60 A; NEC 220.87 (from memory) takes the measured demand at
# 125 % where it was recorded for 30 days in 15 minutes, with nothing that generates behind it:
# 9.6 kVA are 40 A, and 50 A at 125 %; 14.4 kVA are 75 A.
@pytest.mark.parametrize(
    ("demand", "own", "severity"),
    [
        ("9.6 kVA", "no", "note"),
        ("9.6 kVA", "yes", "warning"),
        ("14.4 kVA", "no", "warning"),
    ],
)
def test_a_measured_demand(tmp_path: Path, demand: str, own: str, severity: str) -> None:
    circuit = "1-3: {device: 200 A, loads: {A: {kind: IT, power: 24 kVA, continuous: no}}}"
    rated = f"main: 60 A, {RECORDED.format(demand=demand, own=own)}"
    (problem,) = over(tmp_path, circuit, rated=rated)
    assert problem.severity == severity
    assert "220.87" in problem.message
