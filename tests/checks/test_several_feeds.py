from pathlib import Path

from recordgen.checks import several_feeds
from tests.checks.running import examples, found_by, told, with_section


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(several_feeds, "Passing")
    assert found_by(several_feeds, tmp_path, with_section(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(several_feeds, "Failing")
    problems = found_by(several_feeds, tmp_path, with_section(example))
    # Line 4: `loads: {SRV-1: {kind: IT, fed_from: [A/1, B/1]}}`, at the list.
    assert told(problems) == [(4, 37, "warning", "needs-not-recorded")]
    assert problems[0].subjects == ("home:SRV-1",)


def test_one_feed_needs_no_word(tmp_path: Path) -> None:
    (example,) = examples(several_feeds, "Failing")
    text = with_section(example.replace("[A/1, B/1]", "A/1"))
    assert found_by(several_feeds, tmp_path, text) == []
