"""The program's answer and pandapower's, switch by switch."""

import datetime as dt
import random
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Any

from recordgen.network.downstream import downstream
from recordgen.portfolio import Portfolio, load_portfolio
from tests.real_networks.conversion import Conversion, converted
from tests.real_networks.supplied import unsupplied

AS_OF = dt.date(2026, 11, 25)


@dataclass
class Case:
    """A net, its records, and what the program made of them.

    `standing` is the net in the switch positions that are asked about.
    """

    standing: Any
    conversion: Conversion
    portfolio: Portfolio
    is_present: bool = False

    def dark(self, switches: Iterable[int]) -> set[str]:
        """Return the loads that the program says go dark when switches open."""
        portfolio = self.portfolio
        supply = portfolio.present_supply if self.is_present else portfolio.supply
        opened = [self.conversion.device_of[index] for index in switches]
        affected = downstream(supply, portfolio.hazard, opened).affected
        # Nothing transfers or rides through in these nets; what a ring or a tie loses is a second
        # way in, of which pandapower says nothing.
        assert {a.outcome for a in affected} <= {"dark", "loses standby or redundancy"}
        return {a.load for a in affected if a.outcome == "dark"}

    def lost(self, switches: Iterable[int]) -> set[str]:
        """Return the loads at the buses that pandapower finds without supply only then."""
        buses = unsupplied(self.standing, switches) - self.without_supply
        return {load for load, bus in self.conversion.bus_of.items() if bus in buses}

    @cached_property
    def without_supply(self) -> set[int]:
        """The buses that have no supply to lose."""
        return unsupplied(self.standing)

    def one_by_one(self) -> list[tuple[int, ...]]:
        return [(int(index),) for index in self.standing.switch.index]

    def several(self, size: int, count: int) -> list[tuple[int, ...]]:
        """Return a sample of sets of switches, the same one every time."""
        chance = random.Random(size)  # noqa: S311  # no secret
        every = [int(index) for index in self.standing.switch.index]
        return [tuple(chance.sample(every, size)) for _ in range(count)]

    def differences(self, sets: Iterable[tuple[int, ...]]) -> list[str]:
        """Return a line for every set of switches where the two disagree."""
        found = []
        for switches in sets:
            dark, lost = self.dark(switches), self.lost(switches)
            if dark != lost:
                names = [self.conversion.device_of[index] for index in switches]
                found.append(f"{names}: too many {dark - lost}, too few {lost - dark}")
        return found


def case(folder: Path, net: Any, present: Any = None, *, lockable: bool = False) -> Case:
    """Write a net as records and load them; they hold no error."""
    conversion = converted(net, present, lockable=lockable)
    standing = net if present is None else present
    return loaded(folder, standing, conversion, is_present=present is not None)


def loaded(
    folder: Path, standing: Any, conversion: Conversion, *, is_present: bool = False
) -> Case:
    conversion.write(folder)
    portfolio = load_portfolio(folder, AS_OF)
    assert [str(p) for p in portfolio.problems if p.severity == "error"] == []
    return Case(standing, conversion, portfolio, is_present)
