from pathlib import Path

import pytest

from recordgen.checks import neutral_bonded_again
from tests.checks.running import examples, facts, found_by, told, with_section
from tests.network.asking import portfolio

TRANSFORMER = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB: {{kind: switchboard, main: 100 A, neutral_bonded: yes, fed_from: UTIL,
    circuits: {{5: {{device: 60 A}}}}}}
  LP-1: {{kind: panelboard, main: lugs, neutral_bonded: yes, fed_from: {feed}}}
equipment:
  T-1: {{kind: {kind}, fed_from: MSB/5}}
"""


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(neutral_bonded_again, "Passing")
    assert found_by(neutral_bonded_again, tmp_path, with_section(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(neutral_bonded_again, "Failing")
    problems = found_by(neutral_bonded_again, tmp_path, with_section(example))
    # Line 4: `  LP-1: {kind: panelboard, neutral_bonded: yes, fed_from: MSB/5}}`, at the `yes`.
    assert told(problems) == [(4, 44, "warning", "neutral-bonded-again")]
    assert problems[0].subjects == ("home:LP-1", "home:MSB")


# A transformer makes a neutral of its own, which is bonded there or at the first panel (NEC
# 250.30(A), from memory); a disconnect or a gutter makes none, nor does a tap ahead of the main.
@pytest.mark.parametrize(
    ("kind", "feed", "count"),
    [
        ("transformer", "T-1", 0),
        ("disconnect", "T-1", 1),
        ("junction box", "T-1", 1),
        ("junction box", "MSB/line", 0),
        ("junction box", "MSB/feed-through", 1),
    ],
)
def test_where_a_neutral_begins(tmp_path: Path, kind: str, feed: str, count: int) -> None:
    text = TRANSFORMER.format(kind=kind, feed=feed)
    assert len(found_by(neutral_bonded_again, tmp_path, text)) == count


def test_an_old_feeder_to_another_building_is_left_out(tmp_path: Path) -> None:
    main = TRANSFORMER.format(kind="disconnect", feed="MSB/line")
    shed = "panels: {SP: {kind: load centre, main: lugs, neutral_bonded: yes, fed_from: home:T-1}}"
    found = portfolio(tmp_path, main, shed=f"{shed}\n")
    assert list(neutral_bonded_again.check(facts(found))) == []
