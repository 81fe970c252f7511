from pathlib import Path

import pytest

from recordgen.checks import bus_protection
from tests.checks.running import examples, found_by, told, with_section

FED = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB: {{kind: switchboard, main: 800 A, bus_rating: 400 A, fed_from: UTIL,
    circuits: {{5: {{device: {ahead}}}}}}}
  LP-1: {{kind: {kind}, {main} bus_rating: 225 A, fed_from: {feed}}}
equipment:
  T-1: {{kind: {between}, fed_from: MSB/5}}
"""


def fed(**changed: str) -> str:
    kept = {
        "ahead": "225 A",
        "kind": "panelboard",
        "main": "main: lugs,",
        "feed": "MSB/5",
        "between": "disconnect",
    }
    return FED.format(**{**kept, **changed})


def test_the_passing_example(tmp_path: Path) -> None:
    (example,) = examples(bus_protection, "Passing")
    assert found_by(bus_protection, tmp_path, with_section(example)) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (example,) = examples(bus_protection, "Failing")
    problems = found_by(bus_protection, tmp_path, with_section(example))
    # Line 4: `  LP-1: {kind: panelboard, bus_rating: 100 A, …`, at the rating.
    assert told(problems) == [(4, 40, "warning", "bus-protection")]
    assert problems[0].subjects == ("home:LP-1", "home:LP-1/main")
    assert "100 A" in problems[0].message
    assert "125 A" in problems[0].message


# NEC 408.36, 430.94 and 368.17 (from memory).
@pytest.mark.parametrize(
    ("changed", "codes"),
    [
        ({}, []),
        ({"ahead": "250 A"}, ["bus-protection"]),
        ({"ahead": "250 A", "main": "main: 225 A,"}, []),
        ({"ahead": "250 A", "main": ""}, ["bus-protection"]),
        ({"ahead": "250 A", "feed": "T-1"}, ["bus-protection"]),
        ({"ahead": "250 A", "kind": "busway"}, ["bus-protection"]),
        ({"ahead": "250 A", "kind": "motor control centre"}, ["bus-protection"]),
        ({"ahead": "250 A", "kind": "switchboard"}, []),
        ({"feed": "T-1", "between": "transformer"}, ["bus-protection-not-recorded"]),
        ({"ahead": "{kind: breaker}"}, ["bus-protection-not-recorded"]),
        ({"feed": "MSB/feed-through"}, ["bus-protection"]),
        ({"feed": "unknown"}, []),
    ],
)
def test_what_protects_a_bus(tmp_path: Path, changed: dict[str, str], codes: list[str]) -> None:
    problems = found_by(bus_protection, tmp_path, fed(**changed))
    assert [p.code for p in problems] == codes
    assert {p.severity for p in problems} <= {"warning", "note"}


def test_a_second_feed_counts_as_well(tmp_path: Path) -> None:
    text = fed(feed="[MSB/5, MSB/6]").replace("5: {", "6: {device: 400 A}, 5: {")
    (problem,) = found_by(bus_protection, tmp_path, text)
    assert "MSB/6" in problem.message
