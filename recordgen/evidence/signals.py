"""What a tracer's scale showed, made ready to compare: whole scale, one sensitivity, orientations.

The scale of the readings is 0 to 99; a reading of 99 is a bound and no value ("99 or more"). Three
values of one reading are the three orientations of the receiver: flat, turned a quarter, on edge.
Readings of different sensitivities are not comparable, and neither is one whose sensitivity is not
recorded. These rules are common practice; that no more is known of any instrument is on purpose.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

from recordgen.records.field import Reading

TOP_OF_SCALE: Final = 99.0
ORIENTATIONS: Final = 3
# The same place read again at the same sensitivity should show about the same. Twice the error of
# placing a receiver by hand, which the simulation takes as 7 % of the reading.
REPEATS_WITHIN: Final = 15.0
_PLAIN_NUMBER: Final = frozenset("0123456789.,+- ")


@dataclass(frozen=True)
class Signal:
    """What the scale showed at one place at one sensitivity.

    Attributes
    ----------
    at : str
        The place.
    values : tuple of float
        One value, or one for each of three orientations, 0 to 99.
    sensitivity : int
        The step that was set.
    """

    at: str
    values: tuple[float, ...]
    sensitivity: int

    @property
    def flat(self) -> float:
        """The first orientation: the one that single readings are compared in."""
        return self.values[0]

    @property
    def lowest(self) -> float:
        """The lowest of its orientations."""
        return min(self.values)

    @property
    def has_orientations(self) -> bool:
        """Whether it was read in all three orientations."""
        return len(self.values) == ORIENTATIONS

    @property
    def pegged(self) -> bool:
        """Whether any orientation stood at the top of the scale."""
        return max(self.values) >= TOP_OF_SCALE

    @property
    def score(self) -> float:
        """Half the lowest plus half the mean of its orientations, 0 to 99."""
        return (self.lowest + sum(self.values) / len(self.values)) / 2


@dataclass(frozen=True)
class Comparable:
    """Readings that can be compared, and what keeps the others from it.

    `signals` holds one for each place, sensitivity and number of orientations; `left_out` says in a
    sentence each which readings do not count and why.
    """

    signals: tuple[Signal, ...]
    left_out: tuple[str, ...]


def comparable(readings: Iterable[Reading]) -> Comparable:
    """Return the readings that say something about each other, as signals.

    Parameters
    ----------
    readings : iterable of Reading

    Returns
    -------
    Comparable
        A place read again at the same sensitivity has the mean of its readings; if they lie more
        than 15 apart, none of them counts. A reading without a sensitivity, with two values or more
        than three, with a unit, or off the scale of 0 to 99 does not count.

    Notes
    -----
    Own rule, from common practice.

    Examples
    --------
    >>> from recordgen.records.field import Reading
    >>> three = Reading(at="LP-1/14", values=["86", "79", "74"], sensitivity="4")
    >>> found = comparable([three, Reading(at="LP-1/16", values="40")])
    >>> found.signals
    (Signal(at='LP-1/14', values=(86.0, 79.0, 74.0), sensitivity=4),)
    >>> found.left_out
    ('LP-1/16 does not count: the sensitivity is not recorded',)
    """
    kept: dict[tuple[str, int, int], list[tuple[float, ...]]] = {}
    left_out = []
    for reading in readings:
        values = tuple(float(value) for value in reading.values)
        fault = _fault(reading, values)
        if fault or reading.sensitivity is None:
            left_out.append(f"{reading.at} does not count: {fault}")
            continue
        kept.setdefault((reading.at, reading.sensitivity, len(values)), []).append(values)
    signals = []
    for (at, sensitivity, _), several in kept.items():
        if any(max(same) - min(same) > REPEATS_WITHIN for same in zip(*several, strict=True)):
            left_out.append(
                f"{at} does not count: read {len(several)} times, and the values differ"
            )
            continue
        together = tuple(_mean(same) for same in zip(*several, strict=True))
        signals.append(Signal(at, together, sensitivity))
    return Comparable(tuple(signals), tuple(left_out))


def _mean(same: tuple[float, ...]) -> float:
    """Return the mean of the same orientation; the top of the scale if one of them stood there."""
    return TOP_OF_SCALE if max(same) >= TOP_OF_SCALE else sum(same) / len(same)


def _fault(reading: Reading, values: tuple[float, ...]) -> str | None:
    if reading.sensitivity is None:
        return "the sensitivity is not recorded"
    if len(values) not in (1, ORIENTATIONS):
        return f"it has {len(values)} values, where one or three orientations were expected"
    if any(set(value.written) - _PLAIN_NUMBER for value in reading.values):
        return "a value has a unit, where a reading of the scale was expected"
    if not all(0 <= value <= TOP_OF_SCALE for value in values):
        return "a value is off the scale of 0 to 99"
    return None
