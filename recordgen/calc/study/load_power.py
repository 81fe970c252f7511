"""What hangs on every element as complex power, apart from what has no power factor recorded."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from recordgen.calc.study.distribution import LoadAt
from recordgen.calc.study.load_size import LoadSize
from recordgen.calc.study.loading import LoadingStudy
from recordgen.records.supply import Circuit


@dataclass(frozen=True)
class Power:
    """Power whose angle is known in part.

    Attributes
    ----------
    known : complex
        Of what has a power factor, W + j·var, lagging positive; recorded watts without one are in
        it as watts [VA].
    open_va : float
        Of what is recorded in volt-amperes or horsepower without a power factor [VA].
    """

    known: complex = 0j
    open_va: float = 0.0

    def __add__(self, other: Power) -> Power:
        return Power(self.known + other.known, self.open_va + other.open_va)

    @property
    def size_va(self) -> float:
        """The known and the other part, as if their angles were one [VA]."""
        return abs(self.known) + self.open_va

    def times(self, factor: float) -> Power:
        """Return all of it larger by a factor."""
        return Power(self.known * factor, self.open_va * factor)

    def at(self, angle: float) -> complex:
        """Return all of it, what has no power factor at an angle [VA; angle in rad, lagging]."""
        return self.known + cmath.rect(self.open_va, angle)


def power_of(size: LoadSize) -> Power:
    """Return the power of a load, all pieces together; none where its size is not recorded.

    Notes
    -----
    A recorded power factor counts as lagging: there is no word for leading in the records. Watts
    without one are watts; their reactive power is not recorded, and `LoadSize.needs` says so.
    """
    if size.va is None:
        return Power()
    if size.watts_only:
        return Power(complex(size.va))
    if size.power_factor is None:
        return Power(open_va=size.va)
    return Power(cmath.rect(size.va, math.acos(size.power_factor)))


class PowerSums:
    """The power below every element, all loads on at once, as `LoadingStudy.carried` counts it.

    A load with several feeds counts once in what feeds them in common, and on each of them in full,
    or the part of it that is known.
    """

    def __init__(self, loading: LoadingStudy) -> None:
        self._loading = loading

    def of(self, tag: str) -> Power:
        """Return the power below an element, by its full tag."""
        shared = self._loading.carried[tag].shared.values()
        sizes = (one.size.of_which(one.share) for one in shared if one.share)
        return sum(map(power_of, sizes), self._alone[tag])

    def of_branch(self, tag: str) -> Power:
        """Return the power of a branch circuit, by its full tag.

        Notes
        -----
        Of receptacle outlets and of what plugs in, the larger: the one is recorded for the other
        (common practice).
        """
        distribution = self._loading.distribution
        fixed = outlets = plugged = Power()
        stack, seen = [tag], set[str]()
        while stack:
            here = stack.pop()
            stack += distribution.below[here]
            for one in distribution.loads_at.get(here, ()):
                if one.tag in seen:
                    continue
                seen.add(one.tag)
                power = power_of(self._loading.sizes[here][one.tag])
                if one.load.kind == "receptacle":
                    outlets += power
                elif one.load.connection == "plug":
                    plugged += power
                else:
                    fixed += power
        return fixed + max(outlets, plugged, key=lambda power: power.size_va)

    @cached_property
    def _alone(self) -> Mapping[str, Power]:
        """Element → the power of loads with one feed."""
        distribution, sizes = self._loading.distribution, self._loading.sizes
        found: dict[str, Power] = {}
        for element in distribution.from_loads_up():
            tag = element.tag
            own = sizes.get(tag, {})
            single = [one.tag for one in distribution.loads_at.get(tag, ()) if len(one.feeds) == 1]
            power = sum((power_of(own[load]) for load in single), Power())
            for below in distribution.below[tag]:
                if not stands_open(distribution.elements[below].record):
                    power += found[below]
            found[tag] = power
        return found


def stands_open(record: object) -> bool:
    """Say whether a record is that of a circuit whose device is open in the normal state."""
    return isinstance(record, Circuit) and record.normal == "open"


def share_here(one: LoadAt, feed: str, live: Mapping[str, bool]) -> float:
    """Return how much of a load one of its feeds carries when all of them are on.

    Parameters
    ----------
    one : LoadAt
    feed : str
        Full tag of the feed that is asked about.
    live : dict
        Full tag of a feed → whether it is supplied.

    Returns
    -------
    float
        With feeds that are all needed, an equal share for each, since nothing else is recorded;
        else all of it on the first feed that is supplied.
    """
    if len(one.feeds) == 1:
        return 1.0
    if one.load.needs == "all":
        return 1 / len(one.feeds)
    first = next((each for each in one.feeds if live[each]), one.feeds[0])
    return 1.0 if feed == first else 0.0
