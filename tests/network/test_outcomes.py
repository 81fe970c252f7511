"""Outcomes of whatever is opened, held against the second answer worked out from the records.

Wrong methods are planted and have to be caught: a property that cannot fail proves nothing.
"""

from collections.abc import Callable, Collection, Iterator

import pytest
from hypothesis import Phase, event, given, settings
from hypothesis import strategies as st

from tests.network.asking import again, outcomes
from tests.network.by_hand import Opening
from tests.network.by_hand_outcomes import ABNORMAL, DARK, GRAVEST_FIRST, LESS, House
from tests.network.by_hand_supply import Carried
from tests.network.random_records import FEW, PROOF, SOME, Records, load, portfolios

Opened = tuple[Opening, ...]
Outcomes = dict[str, str]
Method = Callable[[Records, House], Callable[[Opened], Outcomes]]

SOLID_POLES = ("main", "circuit", "disconnect", "local disconnect", "bus tie", "transfer switch")
"""What opens a pole at a time: fuses blow in it, terminals burn in it."""

# Shrinking takes minutes; what fails is told whole.
GENERATED = settings(SOME, phases=[Phase.generate])

# A wrong method has to be caught soon, and need not be explained by a smallest example.
CATCHING = settings(SOME, max_examples=400, phases=[Phase.generate], report_multiple_bugs=False)


def openings(house: House, draw: st.DataObject, *, poles: bool) -> Iterator[Opened]:
    """Return what to open: every device, some sets of them, and some single conductors."""
    devices = list(house.switches)
    yield from ((device,) for device in devices)
    drawn = draw.draw(st.permutations(devices))
    yield from (tuple(drawn[:2]), tuple(drawn[2:5]), *lost_together(house))
    if poles:
        ends = [d for d in drawn if house.switches[d].kind in SOLID_POLES]
        yield from (((device, "N"),) for device in ends[:4])
        yield from (((device, draw.draw(st.sampled_from("ABC"))),) for device in ends[:4])
        yield ((ends[0], "N"), drawn[-1])
        yield ((ends[-1], "A"), drawn[0])


def lost_together(house: House) -> list[Opened]:
    """Return the sets of devices that are all there is behind a load, or ahead of a switch."""
    meeting = [{p for group in groups for p in group} for groups in house.groups.values()]
    meeting += [{pair[0] for pair in s.pairs} for s in house.switches.values() if s.one_way]
    found = set()
    for points in meeting:
        zones = {house.zones[point] for point in points}
        ends = {tag: house.zones[s.pairs[0][1]] for tag, s in house.switches.items()}
        found.add(tuple(tag for tag, end in ends.items() if end in zones))
    return sorted(devices for devices in found if len(devices) > 1)


def outcomes_hold(
    records: Records, draw: st.DataObject, method: Method, *, poles: bool = True
) -> None:
    """Hold the outcomes that a method finds against those of the definitions."""
    house = House(records)
    found = method(records, house)
    for opened in openings(house, draw, poles=poles):
        expected = house.outcomes(opened)
        for outcome in expected.values():
            event(outcome)
        assert found(opened) == expected, opened


def as_told(records: Records, house: House) -> Callable[[Opened], Outcomes]:
    """Ask the program, and hold what it says about energizing again as well."""
    found = load(records)

    def told(opened: Opened) -> Outcomes:
        tags = [one if isinstance(one, str) else "/".join(one) for one in opened]
        answer = outcomes(found, *tags)
        live = house.live_behind(opened)
        neutrals = any(one[1] == "N" for one in opened if isinstance(one, tuple))
        for tag, possible in again(found, *tags).items():
            if neutrals:
                break  # a dead neutral stands at line voltage behind the loads on it
            # Whatever a source still reaches may be energized again; where nothing does, it cannot.
            points = {point for group in house.groups[tag] for point in group}
            assert not possible or points & live, (opened, tag)
            if answer[tag] == DARK and points <= live:
                assert possible, (opened, tag)
        return answer

    return told


@GENERATED
@given(portfolios(), st.data())
def test_outcomes_follow_the_decision_table(records: Records, draw: st.DataObject) -> None:
    outcomes_hold(records, draw, as_told)


@pytest.mark.long
@PROOF
@given(portfolios(), st.data())
def test_outcomes_follow_the_decision_table_on_many(records: Records, draw: st.DataObject) -> None:
    outcomes_hold(records, draw, as_told)


@FEW
@given(portfolios(), st.data())
def test_the_second_answer_keeps_to_what_is_true_of_every_house(
    records: Records, draw: st.DataObject
) -> None:
    house = House(records)
    assert house.outcomes(()) == {}
    assert house.impaired(()) == set()
    tied = {tag for pair in house.tied for tag in pair}
    for tag, switch in house.switches.items():
        # Every conductor of a device opened, one by one, is the device opened: the neutral passes
        # these either way.
        if switch.kind in SOLID_POLES[:4] and switch.opens_all and tag not in tied:
            assert house.outcomes([(tag, c) for c in "ABC"]) == house.outcomes([tag]), tag
    whole = house.live(())
    for opened in openings(house, draw, poles=True):
        found, possible = house.outcomes(opened), house.again(opened)
        assert possible.keys() == found.keys()
        if all(isinstance(one, tuple) for one in opened):
            # A fuse that is blown keeps no source away.
            for tag, may in possible.items():
                assert may == any(p in whole for group in house.groups[tag] for p in group)


# Methods that are wrong, each in one way.


class WithoutPoles(House):
    """A graph of buses: every device carries everything, and opens it or nothing."""

    def _carried(self) -> Carried:
        self.carried = {}
        self.carried = self.arriving("possible", backwards=False, batteries=True)
        for switch in self.switches.values():
            switch.opens_all = True
        return self.arriving("possible", batteries=True)


class WithPhotovoltaic(House):
    """Takes an array for a source that carries."""

    def starts(self, state: str, gone: Collection[str] = ()) -> dict[str, str]:
        return {**super().starts(state, gone), "PV": self.zones["PV"]}


class WithoutInputs(House):
    """Counts standby, and never asks what it stands on."""

    def _weakened(self, *_: object) -> set[str]:
        return set()


class WithImpairedSources(House):
    """Counts a generator whose charger is dark as the standby it was."""

    def _impaired(self, *_: object) -> set[str]:
        return set()


class WithoutHandleTies(House):
    """Opens what is named, and not what its handle is tied to."""

    def __init__(self, records: Records) -> None:
        super().__init__(records)
        self.tied = []


class WithWholeNeutrals(House):
    """Follows ungrounded conductors only."""

    def _dead_neutral(self, *_: object) -> None:
        return None


def another_house(kind: type[House]) -> Method:
    return lambda records, _: kind(records).outcomes


def one_at_a_time(_: Records, house: House) -> Callable[[Opened], Outcomes]:
    """Answer each thing alone and take the worst: wrong where two feeds are lost together."""

    def method(opened: Opened) -> Outcomes:
        worst: Outcomes = {}
        for one in opened:
            for tag, outcome in house.outcomes([one]).items():
                worst[tag] = min(worst.get(tag, outcome), outcome, key=GRAVEST_FIRST.index)
        return worst

    return method


def down_the_tree(_: Records, house: House) -> Callable[[Opened], Outcomes]:
    """Take as dark whatever the normal supply reaches through what is opened."""

    def method(opened: Opened) -> Outcomes:
        tags = {o if isinstance(o, str) else o[0] for o in opened}
        left = house.arriving("normal", house.opened(tags), had=house.had["normal"])
        normal = house.had["normal"]
        return {
            tag: DARK
            for tag, groups in house.groups.items()
            if any(
                any(normal[house.zones[p]] for p in group)
                and not any(left[house.zones[p]] for p in group)
                for group in groups
            )
        }

    return method


def standby_is_not_asked(_: Records, house: House) -> Callable[[Opened], Outcomes]:
    """Take as dark what loses its normal supply, whatever may start or carry."""
    return lambda opened: {
        tag: DARK if outcome != LESS else outcome for tag, outcome in house.outcomes(opened).items()
    }


@pytest.mark.parametrize(
    "method",
    [
        another_house(WithoutPoles),
        another_house(WithPhotovoltaic),
        another_house(WithoutInputs),
        another_house(WithImpairedSources),
        another_house(WithoutHandleTies),
        another_house(WithWholeNeutrals),
        one_at_a_time,
        down_the_tree,
        standby_is_not_asked,
    ],
    ids=[
        "a graph of buses without poles",
        "photovoltaic carries",
        "standby without its redundancy",
        "impaired standby",
        "handle ties left out",
        "neutrals left out",
        "sum of single answers",
        "down the normal tree",
        "standby not asked",
    ],
)
def test_wrong_methods_are_caught(method: Method) -> None:
    @CATCHING
    @given(portfolios(), st.data())
    def property_(records: Records, draw: st.DataObject) -> None:
        outcomes_hold(records, draw, method)

    with pytest.raises(AssertionError):
        property_()


def test_the_random_portfolios_hold_what_makes_outcomes_hard() -> None:
    """A strategy that never makes a thing proves nothing about it."""
    seen: set[str] = set()

    @settings(SOME, max_examples=80, phases=[Phase.generate])
    @given(portfolios(), st.data())
    def look(records: Records, draw: st.DataObject) -> None:
        house = House(records)
        seen.update(f"{len(takes)} poles" for takes in house.takes.values())
        seen.update(f"{panel.get('system')} panel" for panel in records["panels"].values())
        seen.update("unknown legs" for zone in house.unknown_legs if house.carried[zone])
        seen.update(f"partial {s.kind}" for s in house.switches.values() if not s.opens_all)
        seen.update("legs" for load in house.legs if load in house.groups)
        seen.update("handle tie" for _ in house.tied)
        seen.update(
            "neutral in one panel" if one.split("/")[0] == other.split("/")[0] else "borrowed"
            for one, other in house.shared
        )
        for record in records["equipment"].values():
            seen.update(f"{record['kind']} {record.get(key)}" for key in ("neutral", "operation"))
        for opened in openings(house, draw, poles=True):
            what = "whole" if all(isinstance(o, str) for o in opened) else opened[0][1]
            seen.update(f"{what}: {outcome}" for outcome in house.outcomes(opened).values())
            impaired = house.impaired(opened)
            seen.update("impaired source" for tag in impaired if tag in records["sources"])
            seen.update("impaired load" for tag in impaired if tag in house.loads)

    look()
    assert seen >= {
        *("1 poles", "2 poles", "3 poles", "120/240 panel", "None panel", "208Y/120 panel"),
        *("unknown legs", "legs", "handle tie", "neutral in one panel", "borrowed"),
        *("partial main", "partial disconnect", "partial circuit"),
        *("transfer switch solid", "transfer switch switched", "bus tie manual"),
        *("impaired source", "impaired load"),
        *(f"whole: {outcome}" for outcome in GRAVEST_FIRST),
        *(f"N: {DARK}", f"N: {ABNORMAL}", f"A: {ABNORMAL}", f"A: {LESS}"),
    }
