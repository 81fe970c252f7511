"""What must hold on every network, held against answers found by trying everything.

Each property is also shown to catch methods that are wrong: a property that cannot fail proves
nothing.
"""

from collections.abc import Callable, Iterable
from dataclasses import replace
from typing import Any

import networkx as nx
import pytest
from hypothesis import Phase, event, given, settings
from hypothesis import strategies as st

from recordgen.network.downstream import (
    Downstream,
    downstream,
    downstream_by_conductor,
    downstream_by_walking,
)
from recordgen.network.isolation import isolate, target_of
from recordgen.network.outcomes import OUTCOMES
from recordgen.portfolio import Portfolio
from tests.network.asking import locks, outcomes
from tests.network.by_hand import walk
from tests.network.by_hand_outcomes import House
from tests.network.random_records import FEW, MANY, PROOF, SOME, Records, load, portfolios, radial

Answer = tuple[str, set[str]]
Method = Callable[[Portfolio, House, str], Answer]

# A wrong method has to be caught soon, and need not be explained by a smallest example.
CATCHING = settings(SOME, max_examples=400, phases=[Phase.generate], report_multiple_bugs=False)


# Isolation.


def isolation_holds(records: Records, method: Method) -> None:
    """Hold the answers for all targets of some records against the definition."""
    found, house = load(records), House(records)
    for tag, (points, box) in house.targets().items():
        verdict, chosen = method(found, house, tag)
        event(verdict)
        lockable = house.locks(outside=box)
        assert chosen <= lockable, f"{tag}: {chosen - lockable} cannot be locked"
        if verdict == "yes":
            sound = not house.live(chosen).intersection(points)
            assert sound, f"{tag}: a source reaches it past {chosen}"
            for one in chosen:
                needed = house.live(chosen - {one}).intersection(points)
                assert needed, f"{tag}: {one} is locked for nothing"
        else:
            beaten = house.live(lockable).intersection(points)
            assert beaten, f"{tag}: {lockable} would do, said {verdict}"
            # "no" is said of what no missing entry could mend.
            every = house.live(house.locks(outside=box, unrecorded=True), KNOWN)
            assert (verdict == "no") == bool(every.intersection(points)), f"{tag}: {verdict}"
        region = walk(points, house.conductors(lockable))
        for one in chosen:
            ends = {point for pair in house.switches[one].pairs for point in pair}
            assert ends & region, f"{tag}: something lockable lies nearer than {one}"


KNOWN = (
    "utility",
    "generator",
    "photovoltaic",
    "battery storage",
    "generator inlet",
    "UPS battery",
)


def as_answered(found: Portfolio, _: House, tag: str) -> Answer:
    return locks(found, tag)


@SOME
@given(portfolios())
def test_isolation_is_sound_lean_and_near(records: Records) -> None:
    isolation_holds(records, as_answered)


@pytest.mark.long
@PROOF
@given(portfolios())
def test_isolation_is_sound_lean_and_near_on_many(records: Records) -> None:
    isolation_holds(records, as_answered)


def by_region(
    sources: Iterable[str] | None = None, *, unrecorded: bool = False, all_open: bool = False
) -> Method:
    """Return the method of the definition, or one that is wrong in one way.

    Wrong are: to count some kinds of sources only; to take as lockable what is not recorded; to
    ask what reaches a lock while every lockable device is open, and not only those around it.
    """

    def method(_: Portfolio, house: House, tag: str) -> Answer:
        points, box = house.targets()[tag]
        lockable = house.locks(outside=box, unrecorded=unrecorded)
        region = walk(points, house.conductors(lockable))
        ends = {
            one: {end for pair in house.switches[one].pairs for end in pair} for one in lockable
        }
        boundary = {one for one in lockable if ends[one] & region}
        live = house.live(lockable if all_open else boundary, sources)
        chosen = {one for one in boundary if (ends[one] - region) & live}
        if not live & region:
            return "yes", chosen
        every = house.live(house.locks(outside=box, unrecorded=True), KNOWN)
        return ("no" if every.intersection(points) else "unproven"), chosen

    return method


def last_on_the_normal_path(found: Portfolio, house: House, tag: str) -> Answer:
    """Lock the last device on the way that carries the load: what a panel directory suggests."""
    answer = locks(found, tag)
    lockable = house.locks(outside=house.targets()[tag][1])
    paths = found.feed_paths.of_zone(_zone(found, tag), tag)
    before = [device.removeprefix("home:") for device in paths[0].devices]
    last = [device for device in before if device in lockable]
    return ("yes", {last[-1]}) if last and answer[0] == "yes" else answer


def _zone(found: Portfolio, tag: str) -> str:
    full = f"home:{tag}"
    return found.network.circuit_zone.get(full) or found.network.enclosures[full].zones[0]


@FEW
@given(portfolios())
def test_the_definition_itself_passes(records: Records) -> None:
    isolation_holds(records, by_region())


@pytest.mark.parametrize(
    ("method", "caught"),
    [
        (last_on_the_normal_path, "a source reaches it past"),
        (by_region(("utility",)), "a source reaches it past"),
        (by_region(unrecorded=True), "cannot be locked"),
        (by_region(all_open=True), "a source reaches it past"),
        (lambda found, house, tag: ("yes", set()), "a source reaches it past"),
        # Safe, and useless: everything locked that can be.
        (
            lambda found, house, tag: (
                locks(found, tag)[0],
                house.locks(outside=house.targets()[tag][1]),
            ),
            "is locked for nothing|something lockable lies nearer",
        ),
        (lambda found, house, tag: ("no", set()), "would do|: no"),
    ],
    ids=[
        "normal path only",
        "utility only",
        "unknown is lockable",
        "all opened",
        "none",
        "all",
        "never",
    ],
)
def test_wrong_methods_of_isolation_are_caught(method: Method, caught: str) -> None:
    @CATCHING
    @given(portfolios())
    def property_(records: Records) -> None:
        isolation_holds(records, method)

    with pytest.raises(AssertionError, match=caught):
        property_()


# Downstream.


def asked(found: Portfolio, opened: Iterable[str]) -> Downstream:
    return downstream(found.supply, found.hazard, opened)


def trees_agree_with_walking(
    records: Records, draw: st.DataObject, method: Callable[[Portfolio, Iterable[str]], Any]
) -> None:
    found = load(records)
    devices = list(found.network.devices)
    sets = [(device,) for device in devices]
    for size in (2, 2, 3, 3):
        sets.append(draw.draw(st.permutations(devices).map(lambda p, n=size: tuple(p[:n]))))
    for opened in sets:
        walked = downstream_by_walking(found.supply, found.hazard, opened)
        assert method(found, opened) == walked
        assert downstream_by_conductor(found.supply, found.hazard, opened) == walked


@SOME
@given(portfolios(), st.data())
def test_dominator_trees_agree_with_walking(records: Records, draw: st.DataObject) -> None:
    trees_agree_with_walking(records, draw, asked)


@pytest.mark.long
@MANY
@given(portfolios(), st.data())
def test_dominator_trees_agree_with_walking_on_many(records: Records, draw: st.DataObject) -> None:
    trees_agree_with_walking(records, draw, asked)


def one_at_a_time(found: Portfolio, opened: Iterable[str]) -> Downstream:
    """Answer each device alone and take the worst: wrong where two feeds are lost together."""
    opened = tuple(opened)
    worst = {}
    for device in opened:
        for affected in asked(found, (device,)).affected:
            before = worst.setdefault(affected.load, affected)
            worst[affected.load] = min(before, affected, key=lambda a: OUTCOMES.index(a.outcome))
    together = downstream_by_walking(found.supply, found.hazard, opened)
    order = [tag for tag in found.network.loads if tag in worst]
    order.sort(key=lambda tag: OUTCOMES.index(worst[tag].outcome))
    return replace(together, affected=tuple(worst[tag] for tag in order))


def test_answering_one_device_at_a_time_is_caught() -> None:
    @CATCHING
    @given(portfolios(), st.data())
    def property_(records: Records, draw: st.DataObject) -> None:
        trees_agree_with_walking(records, draw, one_at_a_time)

    with pytest.raises(AssertionError):
        property_()


# One source, one way to everything: what goes dark is what hangs below, in any tree.


def tree_of(records: Records) -> nx.DiGraph:
    """Return who feeds whom, device by device, read from the records alone."""
    tree = nx.DiGraph()
    for tag, equipment in records["equipment"].items():
        tree.add_edge(equipment["fed_from"], tag)
    for tag, panel in records["panels"].items():
        main = f"{tag}/main"
        tree.add_edge(panel["fed_from"], main)
        for number, circuit in panel["circuits"].items():
            tree.add_edge(main, f"{tag}/{number}")
            tree.add_edges_from((f"{tag}/{number}", f"load {name}") for name in circuit["loads"])
    assert nx.is_arborescence(tree)
    return tree


def radial_holds(records: Records) -> None:
    found, tree = load(records), tree_of(records)
    for device in found.network.devices:
        tag = device.removeprefix("home:")
        below = {n.removeprefix("load ") for n in nx.descendants(tree, tag) if " " in n}
        assert outcomes(found, tag) == dict.fromkeys(below, "dark")
    for name in found.network.loads:
        above = nx.shortest_path(tree, "UTIL", f"load {name.removeprefix('home:')}")
        (path,) = found.feed_paths.of_load(name)
        assert path.source == "home:UTIL"
        # Lugs stand in the tree where a main would.
        passed = [f"home:{tag}" for tag in above if f"home:{tag}" in found.network.devices]
        assert list(path.devices) == passed


@SOME
@given(radial())
def test_in_a_radial_network_the_descendants_go_dark(records: Records) -> None:
    radial_holds(records)


@pytest.mark.long
@MANY
@given(radial())
def test_in_a_radial_network_the_descendants_go_dark_on_many(records: Records) -> None:
    radial_holds(records)


def test_the_random_portfolios_hold_what_makes_answers_hard() -> None:
    """A strategy that never makes a thing proves nothing about it."""
    seen: set[str] = set()

    @settings(SOME, phases=[Phase.generate])
    @given(portfolios())
    def look(records: Records) -> None:
        found = load(records)
        seen.update(device.kind for device in found.network.devices.values())
        seen.update(source.kind for source in found.network.sources.values())
        seen.update(coupling.kind for coupling in found.network.couplings.values())
        for tag in House(records).targets():
            answer = isolate(found.hazard, target_of(found.network, f"home:{tag}"))
            seen.update((answer.verdict, f"{min(len(answer.points), 3)} locks"))

    look()
    assert seen >= {
        *("transfer switch", "UPS", "transformer", "bus tie", "disconnect", "local disconnect"),
        *("motor starter", "variable-frequency drive", "main device", "circuit device"),
        *(*KNOWN, "unknown", "shared neutral", "through a load"),
        *("yes", "no", "unproven", "0 locks", "1 locks", "2 locks", "3 locks"),
    }
