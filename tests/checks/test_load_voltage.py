from pathlib import Path

import pytest

from recordgen.checks import load_voltage
from tests.checks.running import examples, found_by, told

SOURCE = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB: {{kind: switchboard, system: {system}, main: lugs, fed_from: UTIL,
    circuits: {{1: {{device: {{rating: 60 A, poles: {poles}}}}}}}}}
"""


def records(section: str, system: str = "480 delta", poles: int = 3) -> str:
    return SOURCE.format(system=system, poles=poles) + f"{section}\n"


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(load_voltage, "Passing")
    assert found_by(load_voltage, tmp_path, records(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(load_voltage, "Failing")
    problems = found_by(load_voltage, tmp_path, records(example))
    # Line 7: `loads: {PMP-1: {kind: pump, voltage: 240 V, fed_from: MSB/1}}`, at the voltage.
    assert told(problems) == [(7, 38, "warning", "load-voltage")]
    assert problems[0].subjects == ("home:PMP-1", "home:MSB/1")
    assert "240 V" in problems[0].message
    assert "480 V" in problems[0].message


# Motors work within 10 % of their own voltage (NEMA MG 1, 12.44, from memory): those for 230 V on
# 208 V just so, those for 200 V on 240 V not, and none for 460 V on 208 V.
@pytest.mark.parametrize(
    ("system", "poles", "volts", "agrees"),
    [
        ("480Y/277", 3, 460, True),
        ("480Y/277", 3, 277, True),
        ("480Y/277", 1, 277, True),
        ("480Y/277", 1, 480, False),
        ("208Y/120", 3, 230, True),
        ("208Y/120", 3, 200, True),
        ("208Y/120", 3, 460, False),
        ("208Y/120", 1, 115, True),
        ("208Y/120", 1, 208, False),
        ("120/240", 2, 240, True),
        ("120/240", 2, 120, True),
        ("120/240", 2, 208, False),
        ("240 delta", 3, 200, False),
        ("240/120 high-leg delta", 3, 208, True),
    ],
)
def test_names_and_systems(
    tmp_path: Path, system: str, poles: int, volts: int, agrees: bool
) -> None:
    load = f"loads: {{PMP-1: {{kind: pump, voltage: {volts} V, fed_from: MSB/1}}}}"
    problems = found_by(load_voltage, tmp_path, records(load, system, poles))
    assert (problems == []) is agrees


def test_behind_a_drive_another_voltage_may_be_had(tmp_path: Path) -> None:
    load = "loads: {PMP-1: {kind: pump, voltage: 230 V, fed_from: D-1}}\n"
    drive = "equipment: {D-1: {kind: variable-frequency drive, fed_from: MSB/1}}"
    assert found_by(load_voltage, tmp_path, records(load + drive)) == []


def test_where_the_system_is_not_recorded_nothing_is_concluded(tmp_path: Path) -> None:
    (example,) = examples(load_voltage, "Failing")
    text = records(example).replace(" system: 480 delta,", "")
    assert found_by(load_voltage, tmp_path, text) == []
