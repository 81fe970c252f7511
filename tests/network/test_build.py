"""Records that cannot be a network, and two that look odd and can."""

import re
from itertools import pairwise
from pathlib import Path

import pytest

from recordgen.problems import Problem
from tests.network.asking import loaded, locks, portfolio

PANEL = "kind: panelboard, main: lugs"


def errors(folder: Path, text: str, **others: str) -> list[Problem]:
    return [p for p in loaded(folder, text, **others).problems if p.severity == "error"]


# Which of a ring's members is wrong nobody can tell from the records: all of them are named, in
# the order in which they feed each other, and each with its place.
@pytest.mark.parametrize(
    ("panels", "ring"),
    [
        ({"A": "A/1"}, ["A/1"]),
        ({"A": "B/1", "B": "A/1"}, ["A/1", "B/1"]),
        ({"A": "C/1", "B": "A/1", "C": "B/1"}, ["A/1", "B/1", "C/1"]),
        # D hangs on the ring and is no member of it.
        ({"A": "B/1", "B": "A/1", "D": "A/1"}, ["A/1", "B/1"]),
    ],
)
def test_panels_that_feed_each_other(
    tmp_path: Path, panels: dict[str, str], ring: list[str]
) -> None:
    lines = [
        f"  {tag}: {{{PANEL}, fed_from: {feed}, circuits: {{1: {{device: 60 A}}}}}}"
        for tag, feed in panels.items()
    ]
    (problem,) = errors(tmp_path, "panels:\n" + "\n".join(lines) + "\n")
    assert problem.code == "feed-cycle"
    assert sorted(set(re.findall(r"[A-Z]/1", problem.message))) == ring
    # In order: each feeds the next, and the last the first again.
    named = re.findall(r"[A-Z]/1", problem.message)
    assert named[0] == named[-1]
    for feeder, fed in pairwise(named):
        assert panels[fed[0]] == feeder
    members = {tag[0] for tag in ring}
    lines_of = {tag: 3 + index for index, tag in enumerate(panels)}
    places = {problem.location.line, *(place.line for place in problem.related)}
    assert places == {lines_of[tag] for tag in members}


def test_a_ring_through_equipment_and_another_building(tmp_path: Path) -> None:
    home = f"""
panels:
  A: {{{PANEL}, fed_from: TX, circuits: {{1: {{device: 60 A}}}}}}
equipment:
  TX: {{kind: transformer, fed_from: "annex:B/1"}}
"""
    annex = f'panels: {{B: {{{PANEL}, fed_from: "home:A/1", circuits: {{1: {{device: 60 A}}}}}}}}\n'
    (problem,) = errors(tmp_path, home, annex=annex)
    assert problem.code == "feed-cycle"
    for member in ("A/1", "TX", "annex:B/1"):
        assert member in problem.message
    paths = {problem.location.path, *(place.path for place in problem.related)}
    assert paths == {"buildings/home/records.yaml", "buildings/annex/records.yaml"}


def test_a_transfer_switch_whose_emergency_side_comes_from_what_it_feeds(tmp_path: Path) -> None:
    text = f"""
sources: {{UTIL: {{kind: utility}}}}
panels:
  A: {{{PANEL}, fed_from: ATS, circuits: {{1: {{device: 60 A}}}}}}
equipment:
  ATS: {{kind: transfer switch, normal_from: UTIL, emergency_from: A/1}}
"""
    (problem,) = errors(tmp_path, text)
    assert problem.code == "feed-cycle"


def test_a_tie_and_a_bypass_are_no_ring(tmp_path: Path) -> None:
    text = f"""
sources: {{UTIL: {{kind: utility}}}}
panels:
  A: {{{PANEL}, fed_from: UTIL, circuits: {{1: {{device: 60 A}}, 3: {{device: 60 A}}}}}}
  B: {{{PANEL}, fed_from: UPS}}
equipment:
  UPS: {{kind: UPS, fed_from: A/1, static_bypass_from: A/3, maintenance_bypass_from: A/3}}
  TIE: {{kind: bus tie, between: [A, B]}}
"""
    assert errors(tmp_path, text) == []


@pytest.mark.parametrize(
    ("feed", "said"),
    [
        ("MSB/7", "MSB"),
        ("MBS/1", "MSB"),
        ("MSB", "MSB"),
        ("garage:MSB/1", "garage"),
        ("MSB/2", "spare"),
    ],
)
def test_a_feed_that_is_not_there(tmp_path: Path, feed: str, said: str) -> None:
    text = f"""
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB: {{{PANEL}, fed_from: UTIL, circuits: {{1: {{device: 60 A}}, 2: spare}}}}
  LP: {{{PANEL}, fed_from: "{feed}"}}
"""
    (problem,) = errors(tmp_path, text)
    assert problem.code == "no-such-thing"
    assert (problem.location.line, problem.location.path) == (6, "buildings/home/records.yaml")
    assert said in f"{problem.message} {problem.hint}"


def test_two_devices_in_one_position_name_both_places(tmp_path: Path) -> None:
    text = f"""
panels:
  LP:
    {PANEL.replace(", ", chr(10) + "    ")}
    circuits:
      2-4-6: {{device: 30 A}}
      4: {{device: 20 A}}
"""
    (problem,) = errors(tmp_path, text)
    assert problem.code == "position-taken"
    assert (problem.location.line, [place.line for place in problem.related]) == (9, [8])


@pytest.mark.parametrize("name", ["MSB/4", "MSB/6", "MSB/2-4-6"])
def test_any_position_of_a_multi_pole_device_names_it(tmp_path: Path, name: str) -> None:
    text = f"""
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB: {{{PANEL}, lockable: yes, fed_from: UTIL, circuits: {{2-4-6: {{device: 60 A}}}}}}
  LP: {{{PANEL}, fed_from: {name}}}
"""
    assert locks(portfolio(tmp_path, text), "LP") == ("yes", {"MSB/2-4-6"})
