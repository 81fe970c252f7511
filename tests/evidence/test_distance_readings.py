"""Reflectometer, bridge and tracer held together: worked examples and made-up cases."""

import pytest

from recordgen.calc.interval import Interval, around
from recordgen.calc.murray_loop import equivalent_loop_m
from recordgen.evidence.distance_readings import (
    Distance,
    Mounting,
    by_bridge,
    by_reflectometer,
    combined,
)
from recordgen.evidence.run_places import Stretch
from recordgen.evidence.run_readings import RunReadings
from recordgen.records.field import Run
from tests.evidence.simulator_distance import distance_case

ALONG_THE_CONDUCTOR = Interval(1, 1, 1)
RUN = Run.model_validate(
    {
        "of": "HP-1/12",
        "landmarks": [{"at": "0 m", "what": "panel"}, {"at": "60 m", "what": "last pole"}],
    }
)


def tracer(low_m: float, high_m: float) -> RunReadings:
    stretch = Stretch(low_m, high_m)
    return RunReadings("located", stretch, stretch, 90, None, (), ())


NO_PLACE = RunReadings("no clear drop", None, None, 90, None, (), ())


def test_an_echo_is_counted_from_the_end_that_the_instrument_is_at() -> None:
    # 500 ns at a velocity factor of 0.66 are 49.5 m: c × 0.66 × 500 ns / 2, by hand.
    echo, factor = around(500, 5), around(0.66, 0.01)
    start = by_reflectometer(echo, factor, Mounting(0, "end", ALONG_THE_CONDUCTOR)).stretch
    end = by_reflectometer(echo, factor, Mounting(60, "start", ALONG_THE_CONDUCTOR)).stretch
    assert start.low_m < 49.47 < start.high_m
    assert (end.low_m, end.high_m) == pytest.approx((60 - start.high_m, 60 - start.low_m))


def test_slack_brings_the_fault_nearer_along_the_route() -> None:
    slack = Mounting(0, "end", Interval(1.0, 1.03, 1.06))
    found = slack.stretch(Interval(49, 50, 51))
    assert found.low_m == pytest.approx(49 / 1.06)
    assert found.high_m == pytest.approx(51)
    with pytest.raises(ValueError, match="conductor per route"):
        Mounting(0, "end", Interval(0, 1, 1.1)).stretch(Interval(49, 50, 51))


def test_the_bridge_of_the_textbook_example() -> None:
    # P = 3, Q = 1, 600 m there and as much back: Q / (P + Q) × loop = 300 m.
    run = around(600, 0.1)
    loop = equivalent_loop_m(run, run, 0.727, 0.727)
    arms = around(3, 0.01), around(1, 0.01)
    found = by_bridge(*arms, loop, run, Mounting(0, "end", ALONG_THE_CONDUCTOR))
    assert found.method == "bridge"
    assert found.stretch.low_m < 300 < found.stretch.high_m


def test_methods_that_agree_give_what_they_have_in_common() -> None:
    found = combined(
        "locate a short",
        tracer(40, 55),
        [Distance("reflectometer", Stretch(48, 51)), Distance("bridge", Stretch(50, 57))],
        RUN,
        feet=False,
    )
    assert (found.verdict, found.stretch) == ("agree", Stretch(50, 51))
    assert found.confidence_percent == 90
    assert found.nearest_landmark == "last pole"
    assert "By bridge: along 50 to 57 m." in found.reasons


def test_methods_that_disagree_give_no_place_and_say_so() -> None:
    apart = [Distance("reflectometer", Stretch(48, 51)), Distance("bridge", Stretch(51.1, 57))]
    found = combined("locate a short", tracer(40, 55), apart, RUN, feet=False)
    assert found.verdict == "disagree"
    assert found.stretch is found.confidence_percent is found.nearest_landmark is None
    assert "The methods do not agree: no place is given." in found.reasons
    assert any("velocity factor" in then for then in found.measure_next)


def test_a_bridge_says_nothing_of_an_open() -> None:
    found = combined("locate an open", None, [Distance("bridge", Stretch(50, 57))], RUN, feet=False)
    assert (found.verdict, found.stretch) == ("nothing", None)
    assert "needs a conductor that is whole" in found.reasons[0]


def test_one_method_alone_asks_for_another() -> None:
    echo = [Distance("reflectometer", Stretch(48, 51))]
    found = combined("locate a short", NO_PLACE, echo, RUN, feet=False)
    assert (found.verdict, found.stretch) == ("one method", Stretch(48, 51))
    assert found.confidence_percent is None  # as good as the bounds put in, and no better
    assert any("no clear drop" in reason for reason in found.reasons)
    assert found.measure_next
    assert combined("locate a short", NO_PLACE, [], RUN, feet=False).verdict == "nothing"


def test_a_place_beyond_the_run_is_told() -> None:
    echo = [Distance("reflectometer", Stretch(80, 85))]
    found = combined("locate a short", None, echo, RUN, feet=False)
    assert any("outside the run" in reason for reason in found.reasons)


def test_over_made_up_cases_agreement_holds_the_fault_and_a_wrong_factor_is_told() -> None:
    sound = [distance_case(seed, spoilt=False) for seed in range(60)]
    agreed = [one for one in sound if one.answer.verdict == "agree"]
    held = [
        one for one in agreed if one.answer.stretch and not one.answer.stretch.from_m(one.fault_m)
    ]
    assert len(agreed) >= 54
    assert len(held) / len(agreed) > 0.82
    spoilt = [distance_case(seed, spoilt=True) for seed in range(100, 130)]
    assert sum(one.answer.verdict == "disagree" for one in spoilt) >= 22
