from pathlib import Path

from recordgen.checks import unknown_source
from tests.checks.running import examples, found_by, told, with_section


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(unknown_source, "Passing")
    assert found_by(unknown_source, tmp_path, with_section(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(unknown_source, "Failing")
    problems = found_by(unknown_source, tmp_path, with_section(example))
    # Line 4: `  LP-1: {kind: panelboard, fed_from: unknown}}`, at the word `unknown`.
    assert told(problems) == [(4, 38, "stop", "source-unknown")]
    assert problems[0].subjects == ("home:LP-1",)


def test_what_says_nothing_of_its_feed_is_found_at_its_name(tmp_path: Path) -> None:
    text = "equipment: {TX: {kind: transformer}}\nloads:\n  LAMP: {kind: lighting}\n"
    problems = found_by(unknown_source, tmp_path, text)
    assert {(p.location.line, p.subjects) for p in problems} == {
        (2, ("home:TX",)),
        (4, ("home:LAMP",)),
    }
