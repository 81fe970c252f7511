from pathlib import Path

import pytest

from recordgen.checks import phase_assumed
from tests.checks.running import examples, found_by, told

REST = "kind: panelboard, main: lugs, fed_from: UTIL, circuits: {1: {device: 20 A}, 3: {}}"


def with_panel(example: str) -> str:
    """Return records with the panel of an example, in line 4, from column 10."""
    panel = example.removesuffix("}}")
    return f"\nsources: {{UTIL: {{kind: utility}}}}\n{panel}, {REST}}}}}\n"


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(phase_assumed, "Passing")
    assert found_by(phase_assumed, tmp_path, with_panel(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(phase_assumed, "Failing")
    problems = found_by(phase_assumed, tmp_path, with_panel(example))
    assert told(problems) == [(4, 10, "note", "phase-assumed")]
    assert problems[0].subjects == ("home:HL-1",)
    assert problems[0].hint == "measure it, and record `numbering` and `high_leg`"


@pytest.mark.parametrize(
    ("said", "hint"),
    [
        ("system: 208Y/120", None),
        ("system: 240/120 high-leg delta, numbering: odd left", "`high_leg`"),
        ("system: 240/120 high-leg delta, high_leg: B", "`numbering`"),
    ],
)
def test_what_leans_on_it(tmp_path: Path, said: str, hint: str | None) -> None:
    text = with_panel(f"panels: {{HL-1: {{{said}}}}}")
    problems = found_by(phase_assumed, tmp_path, text)
    assert [(p.hint or "").rpartition("record ")[2] for p in problems] == ([hint] if hint else [])


def test_a_shared_neutral_leans_on_the_numbers(tmp_path: Path) -> None:
    text = with_panel("panels: {HL-1: {system: 208Y/120}}").replace(
        "3: {}", "3: {neutral_shared_with: [1]}"
    )
    assert len(found_by(phase_assumed, tmp_path, text)) == 1


def test_where_numbers_stand_for_devices_nothing_is_said(tmp_path: Path) -> None:
    text = with_panel("panels: {HL-1: {system: 240/120 high-leg delta}}")
    assert found_by(phase_assumed, tmp_path, text.replace("panelboard", "busway")) == []
