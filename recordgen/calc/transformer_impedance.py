"""Impedance of a transformer, and what passes through it."""

from __future__ import annotations

import cmath
import math
from typing import Literal

from recordgen.calc.published import rows

Connection = Literal["delta-wye", "wye-wye"]


def impedance_at_angle_ohm(magnitude_ohm: float, x_over_r: float) -> complex:
    """Return an impedance from its size and its X/R [Ω].

    Raises
    ------
    ValueError
        A size or an X/R below zero.

    Examples
    --------
    >>> z = impedance_at_angle_ohm(5, 4 / 3)
    >>> round(z.real, 9), round(z.imag, 9)
    (3.0, 4.0)
    """
    if not (magnitude_ohm >= 0 and math.isfinite(magnitude_ohm)):
        raise ValueError(f"an impedance is a finite number from 0 Ω on, not {magnitude_ohm:g} Ω")
    if not x_over_r >= 0:
        raise ValueError(f"X/R is not below zero, but {x_over_r:g} is")
    return cmath.rect(magnitude_ohm, math.atan(x_over_r))


def transformer_impedance_ohm(
    rating_va: float, secondary_line_v: float, impedance_percent: float, x_over_r: float
) -> complex:
    """Return a transformer's series impedance, seen from its secondary [Ω].

    Parameters
    ----------
    rating_va : float
        Of the whole transformer [VA].
    secondary_line_v : float
        Secondary volts, line to line; of the whole winding for a single-phase transformer [V].
    impedance_percent : float
        From the nameplate [%].
    x_over_r : float
        Of the transformer.

    Returns
    -------
    complex
        Of one phase of a three-phase transformer, or of the whole secondary winding of a
        single-phase one. V²/VA is the base of both, so the number of phases is no input.

    Raises
    ------
    ValueError
        A rating, voltage or impedance not above zero, or an X/R below zero.

    Notes
    -----
    Z = %Z/100·V²/VA. A nameplate's %Z may be off by its tolerance (10 % for two windings, IEEE
    C57.12.00, from memory): 10 % less Z is 11 % more current at the terminals. Taps other than
    the nominal one are left out. Source: per-unit definition.

    Examples
    --------
    >>> z = transformer_impedance_ohm(75_000, 208, 3.5, 1.5)
    >>> f"{z.real:.5f} {z.imag:.5f}"
    '0.01120 0.01680'
    """
    for name, value in (
        ("rating", rating_va),
        ("secondary voltage", secondary_line_v),
        ("impedance in percent", impedance_percent),
    ):
        if not (value > 0 and math.isfinite(value)):
            raise ValueError(f"a transformer's {name} is above zero, not {value:g}")
    size = impedance_percent / 100 * secondary_line_v**2 / rating_va
    return impedance_at_angle_ohm(size, x_over_r)


def half_winding_impedance_ohm(winding_impedance_ohm: complex) -> complex:
    """Return the impedance of one half of a winding tapped at its middle, seen from that half [Ω].

    Parameters
    ----------
    winding_impedance_ohm : complex
        Of the whole secondary winding, as `transformer_impedance_ohm` gives it [Ω].

    Returns
    -------
    complex
        A quarter of the whole (half the turns), times a factor for R and one for X (table
        `half_winding_factors`), because half of the winding couples less well to the primary.

    Notes
    -----
    A rule of common practice, not a property of the one transformer: how its halves are laid
    decides. With it a fault from line to neutral at the terminals draws 1.33 times (R alone) to
    1.67 times (X alone) what one from line to line draws; hand methods use 1.5.

    Examples
    --------
    >>> z = half_winding_impedance_ohm(0.004 + 0.004j)
    >>> round(z.real, 6), round(z.imag, 6)
    (0.0015, 0.0012)
    """
    factors = {row["part"]: float(row["factor"]) for row in rows("half_winding_factors")}
    quarter = winding_impedance_ohm / 4
    return complex(quarter.real * factors["R"], quarter.imag * factors["X"])


def refer(impedance_ohm: complex, from_v: float, to_v: float) -> complex:
    """Return an impedance as it is seen from the other side of a transformer [Ω].

    Parameters
    ----------
    impedance_ohm : complex
        On the side of `from_v` [Ω].
    from_v, to_v : float
        Rated volts of the two sides, both line to line, or both of the whole winding [V].

    Raises
    ------
    ValueError
        Volts not above zero.

    Examples
    --------
    >>> refer(0.01 + 0.04j, 480, 240)
    (0.0025+0.01j)
    """
    if not (from_v > 0 and to_v > 0):
        raise ValueError("a transformer's voltages are above 0 V")
    return impedance_ohm * (to_v / from_v) ** 2


def zero_sequence_ohm(
    connection: Connection, transformer_ohm: complex, upstream_z0_ohm: complex | None = None
) -> complex:
    """Return the zero-sequence impedance at the secondary of a three-phase transformer [Ω].

    Parameters
    ----------
    connection : {"delta-wye", "wye-wye"}
        Primary and secondary; the secondary's neutral is grounded, and for wye-wye the primary's
        is too and is joined to the source's.
    transformer_ohm : complex
        The transformer's own, seen from the secondary [Ω].
    upstream_z0_ohm : complex, optional
        Zero-sequence impedance before it, referred to the secondary; needed for wye-wye [Ω].

    Returns
    -------
    complex
        Delta-wye: the transformer's own, since the delta keeps what is upstream out. Wye-wye: both
        in series.

    Raises
    ------
    ValueError
        The connection is not recorded or is another one, or wye-wye without what is upstream.

    Notes
    -----
    Takes the transformer's own Z0 to be its Z1. Dry types and shells come close to it, three-legged
    cores are 85 to 100 % of it with a delta (common practice, from memory), so real currents may
    be a little higher; a three-legged wye-wye also has a path through its tank, left out here.

    Examples
    --------
    >>> zero_sequence_ohm("delta-wye", 0.01 + 0.02j)
    (0.01+0.02j)
    """
    if connection == "delta-wye":
        return transformer_ohm
    if connection == "wye-wye":
        if upstream_z0_ohm is None:
            raise ValueError(
                "the zero-sequence impedance upstream of a wye-wye transformer is needed"
            )
        return transformer_ohm + upstream_z0_ohm
    raise ValueError(
        f"zero-sequence impedance is known for delta-wye and wye-wye only, not for {connection}"
    )
