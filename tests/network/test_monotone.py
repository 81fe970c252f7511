"""What more sources, ties, feeds and openings may change, and in which direction only.

The safe direction is written down here from the definitions (a source added is a way more, a device
opened is a way less), and held on random networks.
"""

import copy
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from recordgen.network.hazard import Hazard
from recordgen.network.isolation import isolate, target_of
from recordgen.network.model import Network
from recordgen.portfolio import Portfolio
from tests.network.asking import again, outcomes
from tests.network.by_hand import Points
from tests.network.random_records import FEW, Records, load, portfolios

Change = Callable[[Records, Any], bool]
"""Adds something to records with a draw; False where there is no room for it."""


def a_source(records: Records, pick: Any) -> bool:
    records["sources"]["MORE"] = {"kind": pick(("utility", "generator", "photovoltaic"))}
    panel = records["panels"][pick(sorted(records["panels"]))]
    feed = {"fed_from": "MORE", "since": "2026-11-01"}
    panel["temporary_feeds"] = [*panel.get("temporary_feeds", ()), feed]
    return True


def a_tie(records: Records, pick: Any) -> bool:
    first, second = pick(sorted(records["panels"])), pick(sorted(records["panels"]))
    if first == second:
        return False
    records["equipment"]["MORE"] = {
        "kind": "bus tie",
        "between": [first, second],
        "lockable": pick(("yes", "no")),
    }
    return True


def a_feed(records: Records, pick: Any) -> bool:
    fed = [tag for tag, one in records["loads"].items() if isinstance(one["fed_from"], list)]
    if not fed:
        return False
    panel = pick(sorted(records["panels"]))
    position = pick(sorted(records["panels"][panel]["circuits"]))
    more = f"{panel}/{position}"
    loaded = records["loads"][pick(sorted(fed))]
    if more in loaded["fed_from"] or records["panels"][panel]["circuits"][position].get("spare"):
        return False
    loaded["fed_from"] = [*loaded["fed_from"], more]
    return True


def readable(records: Records) -> Portfolio | None:
    """Return the portfolio, or None where the change contradicts the records."""
    try:
        return load(records)
    except AssertionError:
        return None


def locked(network: Network, hazard: Hazard, tag: str) -> tuple[str, frozenset[str]]:
    answer = isolate(hazard, target_of(network, tag))
    return answer.verdict, frozenset(point.device for point in answer.points)


@pytest.mark.parametrize("change", [a_source, a_tie, a_feed])
def test_one_way_more_never_shortens_what_the_locks_cover(change: Change) -> None:
    """The locks after the change cover all that those before it covered, where both isolate.

    Each lock before is a lock still, or lies behind others: with the new locks open, nothing
    reaches it from any source.
    """

    @FEW
    @given(portfolios(), st.data())
    def property_(records: Records, draw: st.DataObject) -> None:
        more = copy.deepcopy(records)
        assume(change(more, lambda values: draw.draw(st.sampled_from(values))))
        before, after = load(records), readable(more)
        assume(after is not None and set(before.network.loads) <= set(after.network.loads))
        assert after is not None
        for tag in before.network.enclosures:
            verdict, points = locked(before.network, before.hazard, tag)
            verdict_after, points_after = locked(after.network, after.hazard, tag)
            # What nothing isolated before, nothing isolates with one way in more.
            assert verdict == "yes" or verdict_after != "yes", tag
            if verdict == verdict_after == "yes":
                reaches = after.hazard.reacher(points_after)
                for point in points - points_after:
                    zones = after.network.devices[point].zones
                    behind = [zone for zone in zones if not reaches(zone)]
                    assert behind, (tag, point)

    property_()


@FEW
@given(portfolios(), st.data())
def test_opening_more_never_makes_a_dark_load_live(records: Records, draw: st.DataObject) -> None:
    found = load(records)
    devices = [tag.removeprefix("home:") for tag in found.network.devices]
    drawn = draw.draw(st.permutations(devices))
    for count in range(1, min(5, len(drawn))):
        fewer, more = drawn[:count], drawn[: count + 1]
        dark = {t for t, o in outcomes(found, *fewer).items() if o == "dark"}
        after = outcomes(found, *more)
        assert {t for t in dark if after.get(t) != "dark"} == set(), (fewer, more)
        live = {t for t, possible in again(found, *fewer).items() if not possible} & dark
        assert not any(again(found, *more)[tag] for tag in live), (fewer, more)


def test_the_second_answer_is_as_monotone() -> None:
    """The same of plain walks over the points: so the property is one of networks, not of code."""

    @FEW
    @given(portfolios(), st.data())
    def property_(records: Records, draw: st.DataObject) -> None:
        house = Points(records)
        drawn = draw.draw(st.permutations(sorted(house.switches)))
        for count in range(len(drawn)):
            assert house.live(drawn[: count + 1]) <= house.live(drawn[:count])

    property_()
