"""For every source each lock that it meets, with a way that it would take; and nothing beside.

Worked cases, and properties on random networks. What stands on a way at all is held against
another library's maximum flow.
"""

from pathlib import Path

import pytest
from hypothesis import given, settings

from recordgen.network.isolation import Isolation, isolate, target_of
from recordgen.network.proof import proof_of
from recordgen.network.region import region_of
from recordgen.portfolio import Portfolio
from tests.network.asking import isolation, portfolio
from tests.network.by_hand import Points, walk
from tests.network.large_records import campus
from tests.network.maximum_flow import stands_between
from tests.network.random_records import FEW, MANY, SOME, Records, load, portfolios

# UTIL-A ─ A/main ─ A ─┬─ A/1 ─ ATS, normal          GEN ─ G (lugs) ─ G/1 ─ ATS, emergency
#                      ├─ A/2 ─ PV                   UTIL-B ─ B/main ─ B ─┬─ B/1: FAN, second cord
#                      └─ A/3: LAMP                                       └─ (no tie)
# ATS ─ E (lugs; nothing in it can be locked) ─ E/1: FAN, first cord
SOURCES = """
sources:
  UTIL-A: {kind: utility}
  UTIL-B: {kind: utility}
  GEN: {kind: generator, start: automatic}
  PV: {kind: photovoltaic}
panels:
  A:
    kind: switchboard
    lockable: yes
    main: 400 A
    fed_from: UTIL-A
    circuits:
      1: {device: 60 A}
      2: {device: 60 A, backfed_from: PV}
      3: {device: 20 A, loads: {LAMP: {kind: lighting}}}
  B:
    kind: switchboard
    lockable: yes
    main: 400 A
    fed_from: UTIL-B
    circuits: {1: {device: 60 A}}
  G:
    kind: switchboard
    main: lugs
    fed_from: GEN
    circuits: {1: {device: {rating: 60 A, lockable: yes}}}
  E:
    kind: switchboard
    main: lugs
    fed_from: ATS
    lockable: no
    circuits: {1: {device: 60 A}}
equipment:
  ATS: {kind: transfer switch, normal_from: A/1, emergency_from: G/1}
loads:
  FAN: {kind: fan, fed_from: [E/1, B/1], needs: any}
"""


def told(found: Portfolio, answer: Isolation) -> dict[tuple[str, str | None], list[str]]:
    """Return source and lock that it meets → the devices on its way, none told twice."""

    def short(tag: str) -> str:
        return tag.removeprefix("home:")

    rows = {
        (short(line.source), line.broken_by and short(line.broken_by)): [
            short(node) for node in line.way if node in found.network.devices
        ]
        for line in answer.proof
    }
    assert len(rows) == len(answer.proof)
    return rows


def test_two_utilities_a_generator_and_an_array(tmp_path: Path) -> None:
    found = portfolio(tmp_path, SOURCES)
    assert told(found, isolation(found, "FAN")) == {
        ("UTIL-A", "A/1"): ["A/main", "A/1", "ATS", "E/1"],
        ("UTIL-B", "B/1"): ["B/main", "B/1"],
        ("GEN", "G/1"): ["G/1", "ATS", "E/1"],
        ("PV", "A/1"): ["A/2", "A/1", "ATS", "E/1"],
    }
    # E is no way for the second utility: the cords of the fan do not meet.
    from_where = {source for source, _ in told(found, isolation(found, "E"))}
    assert from_where == {"UTIL-A", "GEN", "PV"}
    # The generator comes backwards through the transfer switch.
    rows = told(found, isolation(found, "LAMP"))
    assert rows["GEN", "A/3"] == ["G/1", "ATS", "A/1", "A/3"]


def test_every_lock_that_a_source_meets_is_told(tmp_path: Path) -> None:
    found = portfolio(tmp_path, SOURCES)
    target = target_of(found.network, "home:A/1", "home:A/3")
    # A/1, A/3 and G/1 are locked. GEN is stopped before it passes the transfer switch; what feeds
    # A's bus meets both of A's.
    assert told(found, isolate(found.hazard, target)) == {
        ("GEN", "G/1"): ["G/1", "ATS"],
        ("UTIL-A", "A/1"): ["A/main", "A/1"],
        ("UTIL-A", "A/3"): ["A/main", "A/3"],
        ("PV", "A/1"): ["A/2", "A/1"],
        ("PV", "A/3"): ["A/2", "A/3"],
    }


def test_what_nothing_breaks_comes_first_and_says_so(tmp_path: Path) -> None:
    found = portfolio(tmp_path, SOURCES)
    answer = isolation(found, "A")
    # A's main and A/2 are in A itself: the utility at its terminals, the array at A/2's.
    assert told(found, answer) == {
        ("UTIL-A", None): [],
        ("PV", None): [],
        ("GEN", "G/1"): ["G/1", "ATS"],
    }
    assert [line.broken_by for line in answer.proof] == [None, None, "home:G/1"]
    assert answer.verdict == "no"


def test_no_claim_without_a_lock_on_the_way(tmp_path: Path) -> None:
    """Should the locks ever be wrong, the proof fails instead of telling a lie."""
    found = portfolio(tmp_path, SOURCES)
    answer = isolation(found, "FAN")
    between = found.hazard.between(answer.target.zones)
    region = region_of(found.network, between, lambda device: device.isolates)
    with pytest.raises(RuntimeError, match="no lock breaks the way from home:GEN"):
        proof_of(between, region, answer.sources, {"home:A/1", "home:B/1"})


def test_only_what_stands_on_a_way_is_passed_by(tmp_path: Path) -> None:
    found = portfolio(tmp_path, SOURCES)
    passed = [tag.removeprefix("home:") for tag in isolation(found, "FAN").passed]
    assert passed == ["E/1", "ATS"]
    # LAMP hangs beside the way from the array to E: A/3 is on none.
    assert "home:A/3" not in isolation(found, "E").passed
    unlocked = portfolio(tmp_path / "2", SOURCES.replace("lockable: yes", "lockable: no"))
    passed = [tag.removeprefix("home:") for tag in isolation(unlocked, "E").passed]
    # E/1 stands before its own terminals, which are in E.
    assert set(passed) == {"E/1", "ATS", "A/1", "A/2", "A/main", "G/1"}


# Another building's things are named with it.
BEHIND = """
panels:
  SP:
    kind: panelboard
    main: {rating: 60 A, lockable: no}
    fed_from: home:A/3
    circuits: {1: {device: {rating: 20 A, lockable: no}, loads: {BULB: {kind: lighting}}}}
"""


def test_reasons_name_the_building_where_it_is_another(tmp_path: Path) -> None:
    text = SOURCES.replace("lockable: yes", "lockable: no")
    found = portfolio(tmp_path, text, shed=BEHIND)
    answer = isolation(found, "shed:BULB")
    utility = next(reason for reason in answer.reasons if "UTIL-A" in reason)
    assert utility == (
        "home:UTIL-A reaches it through home:A/main (recorded as not lockable), then home:A/3 "
        "(recorded as not lockable), then SP/main (recorded as not lockable), then SP/1 "
        "(recorded as not lockable); the utility must open the service"
    )
    # Seen from home it is the shed that is elsewhere.
    home = next(r for r in isolation(found, "LAMP").reasons if "UTIL-A" in r)
    assert home.startswith("UTIL-A reaches it through A/main (recorded")


# On random networks.


def proof_holds(records: Records) -> None:
    found, points = load(records), Points(records)
    graph = found.network.hazard
    for tag, (ends, _) in points.targets().items():
        answer = isolation(found, tag)
        locked = {point.device for point in answer.points}
        together = walk(ends, points.conductors(()))
        leading = {f"home:{s}" for s, (point, _) in points.sources.items() if point in together}
        assert {line.source for line in answer.proof} == leading == set(answer.sources)
        assert len({(line.source, line.broken_by) for line in answer.proof}) == len(answer.proof)
        beyond = walk(ends, points.conductors({d.removeprefix("home:") for d in locked}))
        for line in answer.proof:
            assert line.way[0] == line.source
            assert line.way[-1] in answer.target.zones
            assert not set(line.way[:-1]) & set(answer.target.zones)
            assert len(set(line.way)) == len(line.way)
            assert all(graph.has_edge(*step) for step in zip(line.way, line.way[1:], strict=False))
            passed = [node for node in line.way if node in locked]
            assert passed == ([line.broken_by] if line.broken_by else [])
            gets_in = points.sources[line.source.removeprefix("home:")][0] in beyond
            assert gets_in == (line.broken_by is None), (tag, line)
        # A source meets a lock where it would get in if that one alone were closed again.
        for lock in locked:
            others = {d.removeprefix("home:") for d in locked - {lock}}
            reached = walk(ends, points.conductors(others))
            meets = {line.source for line in answer.proof if line.broken_by == lock}
            assert meets == {
                f"home:{source}"
                for source, (point, _) in points.sources.items()
                if point in reached and point not in beyond
            }, (tag, lock)


@SOME
@given(portfolios())
def test_every_source_has_a_way_and_an_end(records: Records) -> None:
    proof_holds(records)


@pytest.mark.parametrize("seed", range(4))
def test_every_source_has_a_way_and_an_end_on_a_campus(seed: int) -> None:
    proof_holds(campus(seed, 30))


@pytest.mark.long
@MANY
@given(portfolios())
def test_every_source_has_a_way_and_an_end_on_many(records: Records) -> None:
    proof_holds(records)


@settings(FEW, max_examples=12)
@given(portfolios())
def test_what_is_told_to_stand_on_a_way_does(records: Records) -> None:
    # A neutral shared by several goes from each to each in the program and from one to the others
    # in `by_hand`: the same to reach, but not the same ways.
    for panel in records["panels"].values():
        for circuit in panel["circuits"].values():
            circuit.pop("neutral_shared_with", None)
    found, points = load(records), Points(records)
    for tag, (ends, _) in list(points.targets().items())[::6]:
        between = found.hazard.between(isolation(found, tag).target.zones)
        joined = walk(ends, points.conductors(()))
        near = [s for s, (point, _) in points.sources.items() if point in joined]
        for switch in points.switches:
            stands = any(stands_between(points, switch, source, ends) for source in near)
            assert between.holds(f"home:{switch}") == stands, (tag, switch)
