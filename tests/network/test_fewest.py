"""The fewest locks that would do: worked cases, and every size held against another library.

Wrong ways of finding them are planted, and each has to be caught.
"""

from collections.abc import Callable, Collection, Iterable
from pathlib import Path

import networkx as nx
import pytest
from hypothesis import given

from recordgen.network.isolation import isolate, target_of
from recordgen.portfolio import Portfolio
from tests.network.asking import isolation, locks, portfolio
from tests.network.by_hand import Points
from tests.network.large_records import campus
from tests.network.maximum_flow import UNCUT, fewest_by_flow
from tests.network.random_records import MANY, SOME, Records, load, portfolios


def fewest(found: Portfolio, tag: str) -> set[str]:
    return {device.removeprefix("home:") for device in isolation(found, tag).fewest}


# UTIL ─ MSB/main ─┬─ MSB/1 ─┐
#                  ├─ MSB/2 ─┴─ LP/main ─┬─ LP/1, LP/3, LP/5: OVEN, a leg each
#                  │                     └─ LP/7: LAMP
#                  └─ MSB/3 ─ EP (lugs) ─ EP/1: control power of OVEN, if recorded
HOUSE = """
sources: {{UTIL: {{kind: utility}}}}
panels:
  MSB:
    kind: switchboard
    lockable: yes
    main: {{rating: 800 A, lockable: {msb_main}}}
    fed_from: UTIL
    circuits: {{1: {{device: 100 A}}, 2: {{device: 100 A}}, 3: {{device: 100 A}}}}
  LP:
    kind: panelboard
    lockable: yes
    main: {{rating: 100 A, lockable: {lp_main}}}
    fed_from: [MSB/1, MSB/2]
    circuits:
      1: {{device: 20 A}}
      3: {{device: 20 A}}
      5: {{device: 20 A}}
      7: {{device: 20 A, loads: {{LAMP: {{kind: lighting}}}}}}
  EP:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: MSB/3
    circuits: {{1: {{device: 20 A}}}}
loads:
  OVEN: {{kind: kitchen, fed_from: [LP/1, LP/3, LP/5], needs: all{control}}}
"""


def house(
    folder: Path, *, lp_main: str = "yes", msb_main: str = "yes", control: str = ""
) -> Portfolio:
    more = f", control_power_from: {control}" if control else ""
    return portfolio(folder, HOUSE.format(lp_main=lp_main, msb_main=msb_main, control=more))


def test_one_lock_farther_away_for_three_near_ones(tmp_path: Path) -> None:
    found = house(tmp_path)
    assert locks(found, "OVEN") == ("yes", {"LP/1", "LP/3", "LP/5"})
    assert fewest(found, "OVEN") == {"LP/main"}
    # One is as few as there can be.
    assert fewest(found, "LAMP") == {"LP/7"}


def test_feeders_side_by_side_are_two_to_cut(tmp_path: Path) -> None:
    # Without LP/main the two feeders are the narrowest place: both lead to the same two buses.
    found = house(tmp_path / "1", lp_main="no", msb_main="no")
    assert locks(found, "LP") == ("yes", {"MSB/1", "MSB/2"})
    assert fewest(found, "LP") == {"MSB/1", "MSB/2"}
    assert fewest(found, "OVEN") == {"MSB/1", "MSB/2"}
    # With MSB/main one lock does for both.
    assert fewest(house(tmp_path / "2", lp_main="no"), "LP") == {"MSB/main"}


def test_of_sets_of_one_size_the_nearest(tmp_path: Path) -> None:
    # LP/main and MSB/main would both do alone; the nearer one darkens less.
    assert fewest(house(tmp_path), "OVEN") == {"LP/main"}


def test_control_power_from_elsewhere_joins_farther_up(tmp_path: Path) -> None:
    found = house(tmp_path / "1", control="EP/1")
    assert locks(found, "OVEN") == ("yes", {"LP/1", "LP/3", "LP/5", "EP/1"})
    # Its two panels have only MSB/main in common.
    assert fewest(found, "OVEN") == {"MSB/main"}
    # Without it: one for the legs, one for the control power, the nearest of each.
    assert fewest(house(tmp_path / "2", control="EP/1", msb_main="no"), "OVEN") == {
        "LP/main",
        "EP/1",
    }


def test_what_stands_in_the_targets_own_enclosure_does_not_count(tmp_path: Path) -> None:
    # LP/main is in LP: the line terminals ahead of it stay live.
    found = house(tmp_path)
    assert locks(found, "LP") == ("yes", {"MSB/1", "MSB/2"})
    assert fewest(found, "LP") == {"MSB/main"}


# UTIL-A ─ A/main ─ A ─┬─ A/1 ─┐        UTIL-B ─ B/main ─ B ─┬─ B/1 ─ ATS, normal
#                      ├─ A/2 ─┴ PUMP (two cords)            ├─ B/2 ─ PUMP too (a third)
#                      └─ A/3 ─ PV                           └─ TIE ─ A
# GEN ─ G/main ─ ATS, emergency; ATS ─ C ─ C/1: PUMP too (a fourth)
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
    circuits: {1: {device: 60 A}, 2: {device: 60 A}, 3: {device: 60 A, backfed_from: PV}}
  B:
    kind: switchboard
    lockable: yes
    main: 400 A
    fed_from: UTIL-B
    circuits: {1: {device: 60 A}, 2: {device: 60 A}}
  G: {kind: switchboard, lockable: yes, main: 200 A, fed_from: GEN}
  C:
    kind: switchboard
    main: lugs
    fed_from: ATS
    circuits: {1: {device: {rating: 60 A, lockable: yes}}, 2: {device: 60 A}}
equipment:
  ATS: {kind: transfer switch, normal_from: B/1, emergency_from: G/feed-through}
  TIE: {kind: bus tie, between: [A, B], lockable: yes}
loads:
  PUMP: {kind: pump, fed_from: [A/1, A/2, B/2, C/1], needs: any}
"""


def test_two_utilities_a_generator_and_an_array(tmp_path: Path) -> None:
    found = portfolio(tmp_path, SOURCES)
    assert locks(found, "PUMP") == ("yes", {"A/1", "A/2", "B/2", "C/1"})
    # Each source comes to the rest through one device of its own, and no two through one: 4, so
    # the four near locks are the fewest.
    assert fewest(found, "PUMP") == {"A/1", "A/2", "B/2", "C/1"}
    # C is fed by the transfer switch: B's side, or the generator's.
    assert locks(found, "C") == ("yes", {"B/1", "G/main"})
    assert fewest(found, "C") == {"B/1", "G/main"}


def test_two_utilities_and_no_array(tmp_path: Path) -> None:
    text = SOURCES.replace(", backfed_from: PV", "").replace("  PV: {kind: photovoltaic}\n", "")
    # Three sources, three mains; none of the three is near.
    assert fewest(portfolio(tmp_path, text), "PUMP") == {"A/main", "B/main", "G/main"}


def test_where_no_set_isolates_the_near_one_is_told(tmp_path: Path) -> None:
    found = portfolio(tmp_path, SOURCES)
    # UTIL-A and the array land on A's own terminals; UTIL-B comes by the tie. PUMP's cords do not
    # meet.
    assert locks(found, "A") == ("no", {"TIE"})
    assert fewest(found, "A") == {"TIE"}


# Every size against scipy, on random networks.

Method = Callable[[Portfolio, Points, str, Collection[str]], set[str]]


def fewest_holds(records: Records, method: Method) -> None:
    found, points = load(records), Points(records)
    for tag, (ends, box) in points.targets().items():
        if locks(found, tag)[0] != "yes":
            continue
        lockable = points.locks(outside=box)
        chosen = method(found, points, tag, lockable)
        assert chosen <= lockable, f"{tag}: {chosen - lockable} cannot be locked"
        assert not points.live(chosen).intersection(ends), f"{tag}: a source gets past {chosen}"
        least = fewest_by_flow(points, ends, lockable)
        assert len(chosen) == least, f"{tag}: {least} would do, not {len(chosen)}"


def as_answered(found: Portfolio, points: Points, tag: str, lockable: Collection[str]) -> set[str]:
    return fewest(found, tag)


@SOME
@given(portfolios())
def test_no_smaller_set_isolates(records: Records) -> None:
    fewest_holds(records, as_answered)


@pytest.mark.parametrize("seed", range(6))
def test_no_smaller_set_isolates_on_a_campus(seed: int) -> None:
    fewest_holds(campus(seed, 40), as_answered)


@pytest.mark.long
@MANY
@given(portfolios())
def test_no_smaller_set_isolates_on_many(records: Records) -> None:
    fewest_holds(records, as_answered)


@pytest.mark.long
@pytest.mark.parametrize("seed", range(100, 180))
def test_no_smaller_set_isolates_on_many_campuses(seed: int) -> None:
    fewest_holds(campus(seed, 20 + seed % 90), as_answered)


def test_the_campuses_hold_what_makes_cuts_hard() -> None:
    sizes: set[tuple[int, int]] = set()
    for seed in range(6):
        found = load(campus(seed, 40))
        for tag in Points(campus(seed, 40)).targets():
            answer = isolate(found.hazard, target_of(found.network, f"home:{tag}"))
            sizes.add((len(answer.points), len(answer.fewest)))
    # Cuts of several that are smaller than the near set, and by more than one.
    assert any(near > least > 1 for near, least in sizes)
    assert any(near > least + 1 > 2 for near, least in sizes)
    assert max(least for _, least in sizes) >= 4


# Wrong methods, each wrong in one way.


def by_cut(
    *,
    sources: Iterable[str] | None = None,
    merged: bool = False,
    closed_only: bool = False,
    downwards: bool = False,
    all_lockable: bool = False,
) -> Method:
    """Return the method of the definition by networkx' minimum cut, or one that is wrong.

    Wrong are: to count some kinds of sources only; to let one device stand for all between the same
    two zones; to leave out devices that are normally open; to follow devices from line to load
    only; to take everything as lockable.
    """

    def method(_: Portfolio, points: Points, tag: str, lockable: Collection[str]) -> set[str]:
        zone, graph = points.zones, nx.DiGraph()
        for name, switch in points.switches.items():
            ends = sorted({zone[end] for pair in switch.pairs for end in pair})
            node = " ".join(ends) if merged else name
            if closed_only and not switch.closed:
                continue
            one = name in lockable or all_lockable
            graph.add_edge(("in", node), ("out", node), capacity=1 if one else UNCUT, by=name)
            for line, far in switch.pairs:
                graph.add_edge(zone[line], ("in", node), capacity=UNCUT)
                graph.add_edge(("out", node), zone[far], capacity=UNCUT)
                if not downwards:
                    graph.add_edge(zone[far], ("in", node), capacity=UNCUT)
                    graph.add_edge(("out", node), zone[line], capacity=UNCUT)
        for one_end, other in points.leaks:
            graph.add_edge(zone[one_end], zone[other], capacity=UNCUT)
            graph.add_edge(zone[other], zone[one_end], capacity=UNCUT)
        for point, kind in points.sources.values():
            if sources is None or kind in sources:
                graph.add_edge("sources", zone[point], capacity=UNCUT)
        for point in points.targets()[tag][0]:
            graph.add_edge(zone[point], "target", capacity=UNCUT)
        _, (near, _) = nx.minimum_cut(graph, "sources", "target")
        cut = (edge for edge in graph.edges if edge[0] in near and edge[1] not in near)
        return {graph.edges[edge]["by"] for edge in cut}

    return method


def held_on_every_campus(method: Method) -> None:
    for seed in range(6):
        fewest_holds(campus(seed, 40), method)


def test_the_definition_itself_passes() -> None:
    for seed in range(2):
        fewest_holds(campus(seed, 12), by_cut())


@pytest.mark.parametrize(
    ("method", "caught"),
    [
        (by_cut(merged=True), "gets past"),
        (by_cut(sources=("utility",)), "gets past"),
        (by_cut(closed_only=True), "gets past"),
        (by_cut(downwards=True), "gets past"),
        (by_cut(all_lockable=True), "cannot be locked"),
        (lambda found, points, tag, lockable: locks(found, tag)[1], "would do, not"),
    ],
    ids=[
        "side by side merged",
        "utility only",
        "normally closed only",
        "downwards only",
        "all lockable",
        "the near set",
    ],
)
def test_wrong_methods_are_caught(method: Method, caught: str) -> None:
    with pytest.raises(AssertionError, match=caught):
        held_on_every_campus(method)
