"""Standard ratings and the largest device, NEC 240.4 and 240.6."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.overcurrent_ratings import (
    is_standard,
    largest_device_a,
    next_standard_a,
    small_conductor_limit_a,
    standard_ratings_a,
)
from recordgen.records.conductor_size import read_conductor_size

# NEC 2014 240.6(A), read in a transcription.
STANDARD = (
    15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125, 150, 175, 200, 225, 250, 300,
    350, 400, 450, 500, 600, 700, 800, 1000, 1200, 1600, 2000, 2500, 3000, 4000, 5000, 6000,
)  # fmt: skip
ampacities = st.floats(15, 6000, exclude_min=True)


def test_ratings_of_breakers() -> None:
    assert standard_ratings_a("breaker", 2014) == STANDARD
    assert standard_ratings_a("breaker", 2020) == STANDARD
    assert standard_ratings_a("breaker", 2023) == (10, *STANDARD)  # from memory


def test_fuses_have_further_ratings() -> None:
    # From memory.
    further = set(standard_ratings_a("fuse", 2014)) - set(STANDARD)
    assert further == {1, 3, 6, 10, 601}
    ratings = standard_ratings_a("fuse", 2023)
    assert list(ratings) == sorted(set(ratings))


def test_ten_amperes_depend_on_device_and_edition() -> None:
    assert not is_standard(10, "breaker", 2020)
    assert is_standard(10, "breaker", 2023)
    assert is_standard(10, "fuse", 2014)


@given(ampacities, st.sampled_from(("breaker", "fuse")))
def test_the_next_rating_is_the_lowest_that_is_not_below(current_a: float, kind: str) -> None:
    rating_a = next_standard_a(current_a, kind, 2020)
    assert rating_a >= current_a
    assert is_standard(rating_a, kind, 2020)
    assert not any(current_a <= other < rating_a for other in standard_ratings_a(kind, 2020))


@pytest.mark.parametrize("current_a", [0, -5, math.nan])
def test_a_current_that_is_none_has_no_device(current_a: float) -> None:
    with pytest.raises(ValueError, match="is not above zero"):
        next_standard_a(current_a, "breaker", 2020)
    with pytest.raises(ValueError, match="is not above zero"):
        largest_device_a(current_a, False, "breaker", 2020)


def test_ratings_end_at_6000() -> None:
    with pytest.raises(ValueError, match="no standard rating is as high as 6001 A"):
        next_standard_a(6001, "breaker", 2020)


@pytest.mark.parametrize(
    ("ampacity_a", "feeds_receptacles", "device_a"),
    # 240.4(B) and (C): rule from memory.
    [
        (18.27, False, 20),
        (18.27, True, 15),
        (18.27, None, None),
        (20, None, 20),
        (380, False, 400),
        (760, False, 800),
        (800, None, 800),
        (801, False, 800),
        (855, None, 800),
        (1140, False, 1000),
        (7000, False, 6000),
    ],
)
def test_largest_device(
    ampacity_a: float, feeds_receptacles: bool | None, device_a: float | None
) -> None:
    assert largest_device_a(ampacity_a, feeds_receptacles, "breaker", 2020) == device_a


def test_a_conductor_too_weak_for_any_device_is_named() -> None:
    assert largest_device_a(12, False, "breaker", 2020) == 15
    assert largest_device_a(12, True, "breaker", 2023) == 10
    with pytest.raises(ValueError, match="no standard rating is as low as 12 A"):
        largest_device_a(12, True, "breaker", 2020)


@given(ampacities)
def test_receptacles_and_large_conductors_never_have_a_device_above_their_ampacity(
    ampacity_a: float,
) -> None:
    strict = largest_device_a(ampacity_a, True, "breaker", 2020)
    mild = largest_device_a(ampacity_a, False, "breaker", 2020)
    unknown = largest_device_a(ampacity_a, None, "breaker", 2020)
    assert strict is not None
    assert mild is not None
    assert strict <= ampacity_a
    assert strict <= mild
    assert mild <= max(800, ampacity_a)
    # Unknown only where the two answers differ.
    assert unknown == (strict if strict == mild else None)


@pytest.mark.parametrize(
    ("size", "limit_a"),
    # 240.4(D), from memory, widely known.
    [
        ("14 AWG Cu", 15),
        ("12 AWG Cu", 20),
        ("10 AWG Cu", 30),
        ("12 AWG Al", 15),
        ("10 AWG Al", 25),
        ("8 AWG Cu", None),
        ("8 AWG Al", None),
        ("1/0 AWG Cu", None),
        ("250 kcmil Al", None),
    ],
)
def test_small_conductors(size: str, limit_a: float | None) -> None:
    assert small_conductor_limit_a(read_conductor_size(size)) == limit_a


@pytest.mark.parametrize(
    ("size", "message"),
    [
        ("14 AWG Al", r"240\.4\(D\) has no 14 AWG Al"),
        ("20 AWG Cu", r"240\.4\(D\) has no 20 AWG Cu"),
        ("12 AWG", "the metal of the 12 AWG conductor is not recorded"),
        ("2.5 mm2 Cu", "2.5 mm² Cu is not in the tables"),
    ],
)
def test_small_conductors_that_the_rule_leaves_out_are_named(size: str, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        small_conductor_limit_a(read_conductor_size(size))
