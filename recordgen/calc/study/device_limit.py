"""The largest device for a set of conductors, where a part of what it depends on is not known.

Every combination of what may be is worked out, so that an answer which holds in all of them stands,
and one that does not names what it hangs on.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from itertools import product
from typing import Final, Literal

from recordgen.calc.ampacity import AllowableAmpacity, allowable_ampacity
from recordgen.calc.insulation_column import ColumnC
from recordgen.calc.load_rules import EDITIONS, Edition
from recordgen.calc.overcurrent_ratings import (
    DeviceKind,
    largest_device_a,
    small_conductor_limit_a,
)
from recordgen.records.conductor_size import ConductorSize

Unknown = Literal["insulation", "terminals", "loads", "code_edition"]
_DIMENSIONS: Final[tuple[Unknown, ...]] = ("insulation", "terminals", "loads", "code_edition")
_COLUMNS: Final[tuple[ColumnC, ...]] = (60, 75, 90)
_Case = tuple[ColumnC, ColumnC, bool, Edition]


@dataclass(frozen=True)
class ConductorSet:
    """What the ampacity of a set of conductors follows from.

    Attributes
    ----------
    size : ConductorSize
        Of one conductor, with its metal.
    insulation_c : 60, 75, 90 or None
        Column of the insulation [°C]; None where it is not recorded.
    terminal_c : 60, 75 or 90
        Of the coolest terminal [°C], as recorded, or as terminals are that nothing is marked on.
    terminals_recorded : bool
    ambient_c : float
        Ambient temperature [°C].
    current_carrying : int
        Conductors that carry current in one raceway.
    parallel : int
        Conductors in parallel per phase.
    """

    size: ConductorSize
    insulation_c: ColumnC | None
    terminal_c: ColumnC
    terminals_recorded: bool
    ambient_c: float
    current_carrying: int
    parallel: int

    @property
    def insulations(self) -> tuple[ColumnC, ...]:
        """Columns that the insulation may have."""
        return _COLUMNS if self.insulation_c is None else (self.insulation_c,)

    @property
    def terminals(self) -> tuple[ColumnC, ...]:
        """Columns that the terminals may have, the assumed one first.

        Terminals marked for 90 °C on devices to 1000 V are not met: common practice.
        """
        if self.terminals_recorded or self.terminal_c > 60:
            return (self.terminal_c,)
        return (60, 75)


@dataclass(frozen=True)
class DeviceRule:
    """What the largest device follows from besides the ampacity.

    Attributes
    ----------
    kind : "breaker" or "fuse"
    several_receptacles : bool or None
        Whether it is a branch circuit of several receptacles; None where not recorded.
    edition : int or None
        Of the code [year]; None where not recorded.
    next_size_up : bool
        Whether the next standard rating up may be used at all: not behind a transformer.
    """

    kind: DeviceKind
    several_receptacles: bool | None
    edition: Edition | None
    next_size_up: bool = True


@dataclass(frozen=True)
class DeviceLimit:
    """The largest device, as far as the records tell.

    Attributes
    ----------
    lowest_a, highest_a : float
        The largest device in the worst and in the best case of what is not recorded [A].
    assumed_a : float or None
        With the assumed terminals [A]; None where it hangs on more than them.
    open : tuple of str
        What it hangs on besides the terminals.
    """

    lowest_a: float
    highest_a: float
    assumed_a: float | None
    open: tuple[Unknown, ...]


@lru_cache(maxsize=65536)
def ampacities(conductors: ConductorSet) -> tuple[AllowableAmpacity, ...]:
    """Return the ampacities that a set of conductors may have with its assumed terminals.

    Parameters
    ----------
    conductors : ConductorSet

    Returns
    -------
    tuple of AllowableAmpacity
        One for each column that the insulation may have.

    Raises
    ------
    ValueError
        A table has no row for the inputs, or conductors in parallel are too small.

    Notes
    -----
    See `recordgen.calc.ampacity.allowable_ampacity`.
    """
    return tuple(_ampacity(conductors, i, conductors.terminals[0]) for i in conductors.insulations)


@lru_cache(maxsize=65536)
def device_limit(conductors: ConductorSet, rule: DeviceRule) -> DeviceLimit:
    """Return the largest device that may protect a set of conductors.

    Parameters
    ----------
    conductors : ConductorSet
    rule : DeviceRule

    Returns
    -------
    DeviceLimit

    Raises
    ------
    ValueError
        A table has no row for the inputs, or conductors in parallel are too small.

    Notes
    -----
    NEC 240.4, 240.4(B) to (D), from memory. An ampacity that is no standard rating allows a device
    of exactly that rating too. 240.4(B) is not for transformer secondaries and taps (240.21).
    """
    cases = _cases(conductors, rule)
    first = conductors.terminals[0]
    assumed = {key: limit for key, limit in cases.items() if key[1] == first}
    values = set(assumed.values())
    return DeviceLimit(
        lowest_a=min(cases.values()),
        highest_a=max(cases.values()),
        assumed_a=values.pop() if len(values) == 1 else None,
        open=_deciding(assumed),
    )


@lru_cache(maxsize=65536)
def hangs_on(conductors: ConductorSet, rule: DeviceRule, device_a: float) -> tuple[Unknown, ...]:
    """Return what decides whether a device is too large, of all that is not recorded.

    Parameters
    ----------
    conductors : ConductorSet
    rule : DeviceRule
    device_a : float
        Rating of the device [A].

    Returns
    -------
    tuple of str
        Empty where it is too large, or is not, whatever they are.

    Raises
    ------
    ValueError
        A table has no row for the inputs, or conductors in parallel are too small.

    Notes
    -----
    A thing counts where it alone can turn the answer over, whatever the others are.
    """
    cases = _cases(conductors, rule).items()
    return _deciding({key: device_a <= limit for key, limit in cases})


def _deciding(answers: Mapping[_Case, object]) -> tuple[Unknown, ...]:
    """Return what alone changes an answer, with all else the same."""
    found = []
    for place, name in enumerate(_DIMENSIONS):
        groups: dict[tuple[object, ...], set[object]] = {}
        for key, answer in answers.items():
            groups.setdefault((*key[:place], *key[place + 1 :]), set()).add(answer)
        if any(len(different) > 1 for different in groups.values()):
            found.append(name)
    return tuple(found)


@lru_cache(maxsize=65536)
def _cases(conductors: ConductorSet, rule: DeviceRule) -> dict[_Case, float]:
    receptacles = (rule.several_receptacles,) if rule.several_receptacles is not None else None
    editions = (rule.edition,) if rule.edition is not None else (EDITIONS[0], EDITIONS[-1])
    columns = product(conductors.insulations, conductors.terminals)
    ampacity = {key: _ampacity(conductors, *key).allowable_a for key in columns}
    return {
        (*key, several, edition): _limit(
            ampacity[key], conductors, rule, several or not rule.next_size_up, edition
        )
        for key, several, edition in product(ampacity, receptacles or (False, True), editions)
    }


def _ampacity(
    conductors: ConductorSet, insulation_c: ColumnC, terminal_c: ColumnC
) -> AllowableAmpacity:
    return allowable_ampacity(
        conductors.size,
        insulation_c,
        terminal_c,
        conductors.ambient_c,
        conductors.current_carrying,
        conductors.parallel,
    )


def _limit(
    ampacity_a: float,
    conductors: ConductorSet,
    rule: DeviceRule,
    only_down: bool,
    edition: Edition,
) -> float:
    try:
        standard = largest_device_a(ampacity_a, only_down, rule.kind, edition) or 0.0
    except ValueError:  # below the lowest standard rating: only a device as small as that protects
        standard = 0.0
    found = max(ampacity_a, standard)
    small = small_conductor_limit_a(conductors.size)
    return found if small is None else min(found, small)
