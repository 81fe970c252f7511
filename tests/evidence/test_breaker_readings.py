"""Which breaker: by the rules of common practice in design section 5, on constructed readings.

The right breaker reads highest, and only the right one is strong in all three orientations. A
near-tie without the three orientations, or several at the top of the scale, is ambiguous and says
what to measure next. Readings of different sensitivities are not comparable. None of the readings
here was measured.
"""

from dataclasses import replace

import pytest

from recordgen.evidence.breaker_readings import BreakerReading, Panels, breaker_reading
from recordgen.evidence.signals import Comparable, Signal

RIGHT, COUPLED, WEAK = (86, 79, 74), (61, 33, 22), (37, 20, 12)
Read = tuple[str, tuple[float, ...], int]


def read(*places: Read, next_to: dict[str, tuple[str, ...]] | None = None) -> BreakerReading:
    """Read covers (`LP-1`) and breakers (`LP-1/14`): place, values, sensitivity."""
    signals = tuple(Signal(at, tuple(map(float, values)), step) for at, values, step in places)
    panel_of = {signal.at: signal.at.partition("/")[0] for signal in signals if "/" in signal.at}
    return breaker_reading(Comparable(signals, ()), Panels(panel_of, next_to or {}))


CLEAR: tuple[Read, ...] = (
    ("LP-1", (64,), 5),
    ("HP-1", (21,), 5),
    ("LP-1/14", RIGHT, 4),
    ("LP-1/16", COUPLED, 4),
    ("LP-1/18", (37,), 4),
)


def test_the_one_that_is_strong_in_all_three_is_called() -> None:
    found = read(*CLEAR)
    assert (found.verdict, found.breaker, found.confirmed) == ("identified", "LP-1/14", False)
    # By hand: 74/2 + 239/6 = 76.83; 22/2 + 116/6 = 30.33.
    assert found.margin == pytest.approx(46.5)


def test_the_order_of_the_readings_does_not_matter() -> None:
    assert read(*reversed(CLEAR)) == read(*CLEAR)


def test_one_that_reads_highest_flat_only_is_not_called() -> None:
    found = read(("LP-1/14", (76, 74, 71), 4), ("LP-1/16", (90, 41, 22), 4))
    assert found.breaker == "LP-1/14"


@pytest.mark.parametrize("second", [(74,), (60,)])
def test_a_near_tie_without_the_orientations_is_ambiguous(second: tuple[float]) -> None:
    found = read(("LP-1/14", (78,), 4), ("LP-1/16", second, 4))
    assert (found.verdict, found.breaker) == ("ambiguous", None)
    assert found.measure_next is not None
    assert "LP-1/14 and LP-1/16 in three orientations" in found.measure_next


def test_one_orientation_alone_never_calls_a_breaker() -> None:
    found = read(("LP-1/14", (95,), 4), ("LP-1/16", (10,), 4))
    assert (found.verdict, found.breaker) == ("not enough", None)


def test_a_near_tie_in_three_orientations_is_ambiguous() -> None:
    found = read(("LP-1/14", (86, 79, 74), 4), ("LP-1/16", (84, 78, 70), 4))
    assert (found.verdict, found.breaker) == ("ambiguous", None)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        # "fully saturated tie" and "tie at full scale", constructed examples, not measured.
        ((99, 99, 99), (99, 99, 99)),
        ((99, 99, 60), (99, 99, 71)),
        # A scale that is full hides how far above it the other would read.
        ((97, 90, 88), (99, 90, 60)),
        ((99, 99, 99), (99, 20, 10)),
    ],
)
def test_the_top_of_the_scale_asks_for_less_sensitivity(
    first: tuple[float, ...], second: tuple[float, ...]
) -> None:
    found = read(("LP-1/14", first, 7), ("LP-1/16", second, 7))
    assert (found.verdict, found.breaker) == ("ambiguous", None)
    assert found.measure_next == "lower the sensitivity and read again in three orientations"


def test_read_again_with_less_sensitivity_counts_and_the_full_scale_does_not() -> None:
    full: tuple[Read, ...] = (("LP-1/14", (99, 99, 97), 7), ("LP-1/16", (99, 99, 96), 7))
    found = read(*full, ("LP-1/14", RIGHT, 4), ("LP-1/16", COUPLED, 4))
    assert (found.verdict, found.breaker) == ("identified", "LP-1/14")


@pytest.mark.parametrize("best", [(70, 44, 68), (90, 60, 55), (40, 39, 38)])
def test_none_of_those_read_is_an_answer(best: tuple[float, ...]) -> None:
    found = read(("LP-1/14", best, 4), ("LP-1/16", (30, 12, 9), 4))
    assert (found.verdict, found.breaker) == ("not enough", None)
    assert "none is strong in all three orientations" in found.reasons[0]


def test_a_breaker_read_at_another_sensitivity_only_has_to_be_read_again() -> None:
    found = read(*CLEAR, ("LP-1/12", (40,), 3))
    assert found.verdict == "ambiguous"
    assert found.measure_next == "read LP-1/12 in three orientations at sensitivity 4"


def test_one_ruled_out_at_another_sensitivity_needs_no_turning() -> None:
    found = read(*CLEAR, ("LP-1/14", (80,), 3), ("LP-1/12", (40,), 3))
    assert found.verdict == "identified"


def test_one_that_comes_near_flat_has_to_be_turned_to() -> None:
    found = read(*CLEAR, ("LP-1/12", (70,), 4))
    assert (found.verdict, found.breaker) == ("ambiguous", None)


@pytest.mark.parametrize(("cover", "sensitivity"), [(70, 5), (55, 5), (20, 4), (99, 5)])
def test_a_panel_that_its_cover_keeps_in_the_running(cover: float, sensitivity: int) -> None:
    found = read(*CLEAR, ("DP-1", (cover,), sensitivity))
    assert (found.verdict, found.breaker) == ("ambiguous", None)
    assert found.measure_next == "read the breakers of DP-1 at sensitivity 4"


def test_a_panel_whose_breakers_were_read_low_is_out() -> None:
    found = read(*CLEAR, ("DP-1", (70,), 5), ("DP-1/3", WEAK, 4))
    assert found.verdict == "identified"


def test_what_stands_beside_it_has_to_be_read_at_all() -> None:
    beside = {"LP-1/14": ("LP-1/12", "LP-1/16")}
    found = read(*CLEAR, next_to=beside)
    assert (found.verdict, found.breaker) == ("not enough", None)
    assert found.measure_next == "read LP-1/12 at sensitivity 4"
    assert read(*CLEAR, ("LP-1/12", (30,), 4), next_to=beside).verdict == "identified"


def test_a_single_breaker_compares_with_nothing() -> None:
    found = read(("LP-1/14", RIGHT, 4))
    assert (found.verdict, found.margin) == ("not enough", None)
    assert found.measure_next is not None
    assert "the breakers beside it" in found.measure_next


def test_covers_alone_say_where_to_go_on() -> None:
    found = read(("LP-1", (28,), 7), ("SP-1", (22,), 7), ("FB-1", (9,), 7))
    assert (found.verdict, found.breaker) == ("not enough", None)
    assert found.measure_next == "read the breakers of LP-1 and SP-1, all at one sensitivity"


def test_without_readings_there_is_nothing_to_say() -> None:
    found = read()
    assert (found.verdict, found.reasons) == ("not enough", ("no reading is recorded",))


def test_what_does_not_count_is_said() -> None:
    signals = tuple(Signal(at, tuple(map(float, values)), 4) for at, values, _ in CLEAR[2:4])
    panels = Panels({signal.at: "LP-1" for signal in signals}, {})
    found = breaker_reading(
        Comparable(signals, ("LP-1/20 does not count: no sensitivity",)), panels
    )
    assert found.reasons[-1] == "LP-1/20 does not count: no sensitivity"


@pytest.mark.parametrize("values", [(0, 0, 0), (0,)])
def test_no_signal_at_all(values: tuple[float, ...]) -> None:
    found = read(("LP-1/14", values, 4), ("LP-1/16", values, 4))
    assert found.breaker is None


def test_results_are_frozen_values() -> None:
    found = read(*CLEAR)
    assert replace(found) == found
    assert hash(found) == hash(read(*CLEAR))
