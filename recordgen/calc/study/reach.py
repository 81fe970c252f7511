"""What lies between one source and a place, as impedances seen from that place."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from recordgen.calc.answer import Input, Need
from recordgen.records.system import NominalSystem


@dataclass(frozen=True)
class Ohms:
    """Impedances in series, of some of which only the size is recorded.

    Attributes
    ----------
    known : complex
        Of those with their X/R [Ω].
    unturned : float
        Size of those without, each at a right angle to all before, which makes the sum as small as
        it can be: resistances and reactances are not negative [Ω].
    """

    known: complex = 0j
    unturned: float = 0.0

    def __add__(self, other: Ohms) -> Ohms:
        return Ohms(self.known + other.known, math.hypot(self.unturned, other.unturned))

    def times(self, factor: float) -> Ohms:
        """Return all of them larger by a factor."""
        return Ohms(self.known * factor, self.unturned * factor)

    @cached_property
    def size(self) -> float:
        """The least that the sum can be; the sum itself where nothing is unturned [Ω]."""
        return math.hypot(abs(self.known), self.unturned)


@dataclass(frozen=True)
class Reach:
    """How a source reaches a place.

    What is not recorded is left out of the impedances and named in the needs: the current they
    give is then more than the true one can be.

    Attributes
    ----------
    source : str
        Full tag.
    line_v : float
        Between lines [V].
    neutral_v : float or None
        From line to neutral; None where there is no neutral [V].
    phases : int
        3 or 1.
    poles : int
        How many ungrounded conductors come this far.
    line_ohm : Ohms
        Half of the loop between two lines: Z1 of a three-phase system.
    neutral_ohm : Ohms
        The loop from one line back through the neutral: (2·Z1 + Z0)/3 of a three-phase system.
    needs : tuple of Need
        What is left out of both.
    neutral_needs : tuple of Need
        What else is left out of the loop through the neutral.
    by_hand_a : float or None
        The current by the point-to-point method: three-phase, or between lines of a single-phase
        system; None where it does not reach so far [A].
    inputs, neutral_inputs : tuple of Input
        Of the last step; for both loops, and for the one through the neutral alone.
    before : Reach or None
        The place one step nearer to the source.
    what : str
        What is out of the ordinary about the last step.
    """

    source: str
    line_v: float
    neutral_v: float | None
    phases: int
    poles: int
    line_ohm: Ohms
    neutral_ohm: Ohms
    needs: tuple[Need, ...] = ()
    neutral_needs: tuple[Need, ...] = ()
    by_hand_a: float | None = None
    inputs: tuple[Input, ...] = ()
    neutral_inputs: tuple[Input, ...] = ()
    before: Reach | None = None
    what: str = ""

    @cached_property
    def line_va(self) -> float:
        """What a fault between lines draws, as power: comparable across transformers [VA]."""
        return _ratio(self.line_v**2, self.line_ohm.size)

    @cached_property
    def to_neutral_va(self) -> float:
        """What a fault to neutral draws, as power [VA]; zero where there is no neutral."""
        if self.neutral_v is None:
            return 0.0
        return _ratio(self.neutral_v**2, self.neutral_ohm.size)

    @property
    def three_phase_a(self) -> float | None:
        """Current of a three-phase fault [A]; None where there cannot be one."""
        if self.phases != 3 or self.poles < 3:
            return None
        return _ratio(self.line_v / math.sqrt(3), self.line_ohm.size)

    @property
    def line_to_line_a(self) -> float | None:
        """Current of a fault between two lines [A]; None where there is but one."""
        if self.poles < 2:
            return None
        return _ratio(self.line_v, 2 * self.line_ohm.size)

    @property
    def line_to_neutral_a(self) -> float | None:
        """Current of a fault from a line to neutral [A]; None where there is no neutral."""
        if self.neutral_v is None:
            return None
        return _ratio(self.neutral_v, self.neutral_ohm.size)

    @property
    def complete(self) -> bool:
        """Whether nothing is left out between lines."""
        return not self.needs

    @property
    def neutral_complete(self) -> bool:
        """Whether nothing is left out of the loop through the neutral, and there is one."""
        return not self.needs and not self.neutral_needs and self.neutral_v is not None

    def same_as(self, other: Reach) -> bool:
        """Whether another comes from the same source and through the same ohms."""
        mine, its = (
            (r.source, r.line_ohm, r.neutral_ohm, r.needs, r.neutral_needs, r.poles, r.what)
            for r in (self, other)
        )
        return mine == its

    def steps(self) -> Iterator[Reach]:
        """Yield the places from the source to this one."""
        chain = []
        here: Reach | None = self
        while here is not None:
            chain.append(here)
            here = here.before
        return reversed(chain)


def _ratio(numerator: float, size: float) -> float:
    return numerator / size if size else math.inf


def written(impedance_ohm: complex) -> str:
    """Return an impedance as pages show it: `0.0112 + j0.0168 Ω`."""
    if not cmath.isfinite(impedance_ohm):
        return "unknown"
    return f"{impedance_ohm.real:.5f} + j{impedance_ohm.imag:.5f} Ω"


def neutral_volts(system: NominalSystem) -> float | None:
    """Return the volts that go with the line volts; the written ones are rounded."""
    if system.neutral_v is None:
        return None
    return system.line_v / (math.sqrt(3) if system.phases == 3 and not system.high_leg else 2)


def unusable(tag: str, key: str, value: object) -> Need:
    """Return a need: what is not recorded, or is nothing to calculate with."""
    return Need(tag, key, "" if value is None else f"{value} cannot be")


def joined(first: tuple[Need, ...], second: tuple[Need, ...]) -> tuple[Need, ...]:
    """Return two sets of needs as one, each once."""
    return tuple(dict.fromkeys((*first, *second)))
