from pathlib import Path

import pytest

from recordgen.checks import unbalanced
from tests.checks.running import examples, found_by, told

# The panel stands in line 4, from column 3.
PANEL = """sources: {{UTIL: {{kind: utility}}}}
panels:
  LP-1: {{kind: panelboard, system: {system}, {rated}, main: lugs, fed_from: UTIL, circuits: {{
    {circuits}
  }}}}
"""


def panel(circuits: str, system: str = "120/240", rated: str = "bus_rating: 100 A") -> str:
    return PANEL.format(system=system, rated=rated, circuits=circuits)


def heaters(**kw: float) -> str:
    """Return circuits with a heater each, position → kW."""
    return ", ".join(
        f"{p[1:]}: {{loads: {{H{p[1:]}: {{kind: heating, power: {power} kW}}}}}}"
        for p, power in kw.items()
    )


def test_the_passing_example(tmp_path: Path) -> None:
    circuits = ", ".join(examples(unbalanced, "Passing"))
    assert found_by(unbalanced, tmp_path, panel(circuits)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    circuits = ", ".join(examples(unbalanced, "Failing"))
    problems = found_by(unbalanced, tmp_path, panel(circuits))
    assert told(problems) == [(4, 3, "note", "unbalanced")]
    assert problems[0].subjects == ("home:LP-1",)
    # 9 kVA and 1 kVA at 120 V: 75 A and 8.3 A, 80 % from their mean of 41.7 A; by hand.
    assert "80 %" in problems[0].message
    assert "A 75 A, B 8 A" in problems[0].message


# By hand: 120 V to neutral, half of 100 A is 6 kVA. Mean of 9, 6 and 9 is 8, and 6 lies 25 % off;
# of 9, 7.5 and 9 it is 8.5, and 7.5 lies 12 % off.
@pytest.mark.parametrize(
    ("system", "kilowatts", "count"),
    [
        ("208Y/120", {"_1": 9, "_3": 6, "_5": 9}, 1),
        ("208Y/120", {"_1": 9, "_3": 7.5, "_5": 9}, 0),
        ("120/240", {"_1": 5.9, "_3": 1}, 0),
        ("120/240", {"_1": 6.1, "_3": 1}, 1),
        ("240/120 high-leg delta", {"_1": 9, "_5": 8.5}, 0),
        ("240/120 high-leg delta", {"_1": 9, "_5": 4}, 1),
    ],
)
def test_levels(tmp_path: Path, system: str, kilowatts: dict[str, float], count: int) -> None:
    text = panel(heaters(**kilowatts), system)
    assert len(found_by(unbalanced, tmp_path, text)) == count


def test_without_a_rating_nothing_is_said(tmp_path: Path) -> None:
    text = panel(heaters(_1=9, _3=1), rated="lockable: yes")
    assert found_by(unbalanced, tmp_path, text) == []


def test_what_is_not_recorded_is_said_to_be_missing(tmp_path: Path) -> None:
    text = panel(heaters(_1=9, _3=1) + ", 7: {loads: unknown}")
    (problem,) = found_by(unbalanced, tmp_path, text)
    assert "what is not recorded" in problem.message
