"""Volts at loads that take the same power at any voltage: found by repeating until they settle."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

Volts = tuple[complex, ...]

_ROUNDS: Final = 2000
_SETTLED: Final = 1e-11  # of the highest volts at the start


def settled_volts(start_v: Volts, next_v: Callable[[Volts], Volts]) -> Volts:
    """Return the volts that no longer change when the currents they cause are put back in.

    Parameters
    ----------
    start_v : tuple of complex
        Volts at the loads without any drop [V].
    next_v : function
        From volts at the loads to volts at the loads, through the currents the first cause.

    Returns
    -------
    tuple of complex
        Volts at the loads, in the same order [V].

    Raises
    ------
    ValueError
        They do not settle: the voltage collapses, or is within a hair of it.

    Notes
    -----
    The higher of the two voltages at which a line can carry a power is always one that this
    settles on; the lower one, behind the point of collapse, never is. Source: circuit theory.

    Examples
    --------
    >>> volts = settled_volts((100 + 0j,), lambda v: (100 - 0.5 * (1000 / v[0]).conjugate(),))
    >>> f"{volts[0].real:.3f}"
    '94.721'
    """
    scale = max(map(abs, start_v))
    if not scale > 0:
        raise ValueError("a source has more than 0 V")
    volts = start_v
    for _ in range(_ROUNDS):
        if min(map(abs, volts)) < _SETTLED * scale:
            break
        following = next_v(volts)
        change = max(abs(new - old) for new, old in zip(following, volts, strict=True))
        volts = following
        if change < _SETTLED * scale:
            return volts
    raise ValueError(
        "the load cannot be supplied over this impedance: its voltage collapses, "
        "or is on the edge of it"
    )
