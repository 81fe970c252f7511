"""Ratings of overcurrent devices: the standard ones, and the largest for an ampacity."""

from __future__ import annotations

from typing import Literal

from recordgen.calc.code_limits import code_limit
from recordgen.calc.conductor_area import circular_mils, metal_column, size_in_tables
from recordgen.calc.published import rows
from recordgen.records.conductor_size import ConductorSize, read_conductor_size

DeviceKind = Literal["breaker", "fuse"]


def standard_ratings_a(kind: DeviceKind, edition: int) -> tuple[float, ...]:
    """Return the standard ampere ratings, lowest first [A].

    Parameters
    ----------
    kind : "breaker" or "fuse"
        Inverse-time circuit breaker, or fuse; fuses have 1, 3, 6, 10 and 601 A besides.
    edition : int
        Year of the electrical code; from 2023 on breakers have 10 A too.

    Returns
    -------
    tuple of float
        Ratings [A].

    Notes
    -----
    NEC 240.6(A), 2014 edition; the 10 A breaker and the further ratings of fuses from memory. A
    device of another rating may be made and used; "standard" matters for the next size up.

    Examples
    --------
    >>> standard_ratings_a("breaker", 2020)[:3]
    (15.0, 20.0, 25.0)
    """
    return tuple(
        float(row["rating_a"])
        for row in rows("standard_ratings")
        if kind == "fuse"
        or (row["breaker"] == "yes" and edition >= int(row["breaker_from_edition"] or 0))
    )


def is_standard(rating_a: float, kind: DeviceKind, edition: int) -> bool:
    """Return whether a rating is a standard one.

    Parameters
    ----------
    rating_a : float
        Rating of a device [A].
    kind : "breaker" or "fuse"
        What it is.
    edition : int
        Year of the electrical code.

    Returns
    -------
    bool
        Whether 240.6(A) lists it.

    Notes
    -----
    NEC 240.6(A); see `standard_ratings_a`.

    Examples
    --------
    >>> is_standard(65, "breaker", 2020)
    False
    """
    return rating_a in standard_ratings_a(kind, edition)


def next_standard_a(current_a: float, kind: DeviceKind, edition: int) -> float:
    """Return the lowest standard rating that is not below a current [A].

    Parameters
    ----------
    current_a : float
        Current or ampacity [A].
    kind : "breaker" or "fuse"
        What the device is.
    edition : int
        Year of the electrical code.

    Returns
    -------
    float
        Rating [A].

    Raises
    ------
    ValueError
        The current is not above zero, or above the highest standard rating.

    Notes
    -----
    NEC 240.6(A); see `standard_ratings_a`.

    Examples
    --------
    >>> next_standard_a(104, "breaker", 2020)
    110.0
    """
    _above_zero(current_a)
    for rating_a in standard_ratings_a(kind, edition):
        if rating_a >= current_a:
            return rating_a
    raise ValueError(f"no standard rating is as high as {current_a:g} A")


def largest_device_a(
    ampacity_a: float, feeds_receptacles: bool | None, kind: DeviceKind, edition: int
) -> float | None:
    """Return the largest standard device that may protect conductors of an ampacity [A].

    Parameters
    ----------
    ampacity_a : float
        Allowable ampacity of the conductors [A].
    feeds_receptacles : bool or None
        Whether it is a branch circuit of several receptacles for loads with cord and plug; None
        where that is not recorded.
    kind : "breaker" or "fuse"
        What the device is; with a trip that is not adjustable above the rating.
    edition : int
        Year of the electrical code.

    Returns
    -------
    float or None
        Rating [A]; None where it depends on `feeds_receptacles`, and that is not recorded. The
        answers for True and for False are then the bounds.

    Raises
    ------
    ValueError
        The ampacity is not above zero, or below the lowest standard rating where the next size
        up is not allowed.

    Notes
    -----
    NEC 240.4(B) and (C), from memory: where the ampacity is no standard rating, the next one up may
    be used to 800 A, but not for receptacles; otherwise the next one down. Small conductors have a
    limit of their own, `small_conductor_limit_a`; the lower counts. Motors, welders, taps and
    others of 240.4(E) and (G) have their own rules, which this does not know.

    Examples
    --------
    >>> largest_device_a(65, False, "breaker", 2020), largest_device_a(65, True, "breaker", 2020)
    (70.0, 60.0)
    >>> largest_device_a(65, None, "breaker", 2020) is None
    True
    """
    _above_zero(ampacity_a)
    if is_standard(ampacity_a, kind, edition):
        return ampacity_a
    if ampacity_a <= float(code_limit("next_size_up_to_a")):
        if feeds_receptacles is None:
            return None
        if not feeds_receptacles:
            return next_standard_a(ampacity_a, kind, edition)
    lower = [rating for rating in standard_ratings_a(kind, edition) if rating < ampacity_a]
    if not lower:
        raise ValueError(f"no standard rating is as low as {ampacity_a:g} A")
    return lower[-1]


def small_conductor_limit_a(size: ConductorSize) -> float | None:
    """Return the largest device for a small conductor, whatever its ampacity [A].

    Parameters
    ----------
    size : ConductorSize
        AWG or kcmil, with its metal.

    Returns
    -------
    float or None
        Rating [A]; None for sizes that the rule does not limit.

    Raises
    ------
    ValueError
        The metal is not recorded, the size is in square millimetres, or the rule leaves out a
        small size of this metal.

    Notes
    -----
    NEC 240.4(D), from memory, widely known: 14, 12, 10 AWG copper 15, 20, 30 A. 18 and 16 AWG
    copper are for loads and devices under conditions that this does not check. Motors and others
    of 240.4(E) and (G) are exempt.

    Examples
    --------
    >>> small_conductor_limit_a(ConductorSize("12", "AWG", "Cu"))
    20.0
    >>> small_conductor_limit_a(ConductorSize("8", "AWG", "Cu")) is None
    True
    """
    name, column = size_in_tables(size), f"{metal_column(size)}_largest_device_a"
    limits = {row["size"]: row[column] for row in rows("small_conductors")}
    if limits.get(name):
        return float(limits[name])
    largest = max(circular_mils(read_conductor_size(small)) for small in limits)
    if circular_mils(size) <= largest:
        raise ValueError(f"240.4(D) has no {size}")
    return None


def _above_zero(current_a: float) -> None:
    if not current_a > 0:
        raise ValueError(f"{current_a:g} A is not above zero")
