from pathlib import Path

import pytest

from recordgen.checks import feed_voltage
from tests.checks.running import examples, found_by, told

SOURCE = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB: {{kind: switchboard, system: {system}, main: lugs, fed_from: UTIL,
    circuits: {{1: {{device: {{rating: 60 A, poles: {poles}}}}}}}}}
"""


def records(section: str, system: str = "480Y/277", poles: int = 3) -> str:
    text = SOURCE.format(system=system, poles=poles)
    return text + section.replace("panels: {", "  ").removesuffix("}") + "\n"


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(feed_voltage, "Passing")
    assert found_by(feed_voltage, tmp_path, records(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(feed_voltage, "Failing")
    problems = found_by(feed_voltage, tmp_path, records(example))
    # Line 7: `  LP-1: {kind: panelboard, system: 208Y/120, fed_from: MSB/1}`, at the system.
    assert told(problems) == [(7, 36, "warning", "feed-voltage")]
    assert problems[0].subjects == ("home:LP-1", "home:MSB/1")
    assert "208Y/120" in problems[0].message
    assert "480Y/277" in problems[0].message


@pytest.mark.parametrize(
    ("system", "poles", "panel", "agrees"),
    [
        ("240/120 high-leg delta", 3, "240 delta", True),
        ("240/120 high-leg delta", 2, "120/240", True),
        ("240/120 high-leg delta", 3, "208Y/120", False),
        ("208Y/120", 2, "120/240", False),
        ("120/240", 2, "120/240", True),
        ("120/240", 2, "240 delta", False),
        ("480Y/277", 1, "120/240", True),  # to neutral: not known which
    ],
)
def test_panels_and_systems(
    tmp_path: Path, system: str, poles: int, panel: str, agrees: bool
) -> None:
    text = f"panels: {{LP-1: {{kind: panelboard, system: {panel}, fed_from: MSB/1}}}}"
    assert (found_by(feed_voltage, tmp_path, records(text, system, poles)) == []) is agrees


@pytest.mark.parametrize(("primary", "agrees"), [("480 delta", True), ("208 delta", False)])
def test_a_transformer_takes_its_primary(tmp_path: Path, primary: str, agrees: bool) -> None:
    text = (
        f"equipment: {{T-1: {{kind: transformer, primary: {primary}, secondary: 208Y/120, "
        "fed_from: MSB/1}}"
    )
    section = SOURCE.format(system="480Y/277", poles=3) + f"{text}\n"
    problems = found_by(feed_voltage, tmp_path, section)
    assert (problems == []) is agrees
