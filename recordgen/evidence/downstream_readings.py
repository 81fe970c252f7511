"""Whether the readings at loads bear that they are on the circuit that the transmitter is on.

A receiver shows a signal at neighbours too, so a load counts as shown only beside places that were
read and are not on the circuit. Opening the circuit needs no readings. The rule is ours, after
common practice, and so is its constant: measured by simulation, calibrated to no instrument.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.signals import Signal, comparable
from recordgen.records.field import Reading

LEAD: Final = 20.0
"""Least lead of a load over every place that was read and not found, of 99: as in a bundle."""


@dataclass(frozen=True)
class DownstreamReadings:
    """What readings at loads say.

    Attributes
    ----------
    shown : tuple of str
        Those of the loads found whose readings stand out, in the order asked.
    not_shown : tuple of str
        The others.
    reasons : tuple of str
        Sentences without a full stop: why not.
    measure_next : tuple of str
    """

    shown: tuple[str, ...]
    not_shown: tuple[str, ...]
    reasons: tuple[str, ...]
    measure_next: tuple[str, ...]


def downstream_readings(readings: Iterable[Reading], found: Collection[str]) -> DownstreamReadings:
    """Return which of the loads found stand out from what was read beside them.

    Parameters
    ----------
    readings : iterable of Reading
        At loads, by their tags, and at places that are not on the circuit; none at the panel, where
        the signal of the circuit is.
    found : collection of str
        Tags of the loads that were found on the circuit.

    Returns
    -------
    DownstreamReadings

    Notes
    -----
    A load is shown where, at some sensitivity, it leads the strongest place that was not found by
    20 of 99. Of three orientations the lowest counts for a load, and the highest for the others.

    Examples
    --------
    >>> read = [Reading(at=at, values=value, sensitivity="4")
    ...         for at, value in (("RC-1", "74"), ("RC-2", "22"), ("RC-3", "12"))]
    >>> said = downstream_readings(read, ["RC-1", "RC-2"])
    >>> said.shown, said.not_shown
    (('RC-1',), ('RC-2',))
    """
    usable = comparable(readings)
    at_loads = [signal for signal in usable.signals if signal.at in found]
    beside = [signal for signal in usable.signals if signal.at not in found]
    shown = tuple(tag for tag in found if _stands_out(tag, at_loads, beside))
    not_shown = tuple(tag for tag in found if tag not in shown)
    reasons, following = [], []
    unread = [tag for tag in not_shown if all(signal.at != tag for signal in at_loads)]
    if unread:
        reasons.append(f"no usable reading at {_listed(unread)}")
        following.append(f"read at {_listed(unread)}, all at one sensitivity")
    if at_loads and not beside:
        reasons.append("no place off the circuit was read, so there is nothing to compare with")
    if not beside:
        following.append("read also at a place near them that is not on this circuit")
    weak = [tag for tag in not_shown if tag not in unread] if beside else []
    if weak:
        verb = "does" if len(weak) == 1 else "do"
        reasons.append(f"{_listed(weak)} {verb} not stand out from what is not on the circuit")
        following.append(f"read {_listed(weak)} again at a lower sensitivity")
    if not_shown:
        following.append("open the circuit where that may be done")
    return DownstreamReadings(
        shown, not_shown, (*reasons, *usable.left_out), tuple(following) if not_shown else ()
    )


def _stands_out(tag: str, at_loads: list[Signal], beside: list[Signal]) -> bool:
    for signal in at_loads:
        others = [max(s.values) for s in beside if s.sensitivity == signal.sensitivity]
        if signal.at == tag and others and signal.lowest - max(others) >= LEAD:
            return True
    return False


def _listed(names: list[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last
