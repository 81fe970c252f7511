"""What lockout answers need of the whole portfolio, gathered once and not for every sheet."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property

from recordgen.network.downstream import downstream
from recordgen.network.model import local
from recordgen.network.outcomes import Outcome
from recordgen.pages.dead_test import Conductors, conductors_at
from recordgen.pages.known import Known
from recordgen.pages.locks_in_force import locks_in_force
from recordgen.pages.self_acting import Acting, everything_self_acting
from recordgen.pages.temporary import TemporaryWay, temporary_ways
from recordgen.records.parts import StoredEnergy


class LockoutFacts:
    """Facts of a portfolio that any lockout answer may need."""

    def __init__(self, known: Known) -> None:
        self.known = known
        self.network = known.network
        self._dark: dict[tuple[str, ...], dict[str, None]] = {}

    @cached_property
    def self_acting(self) -> dict[str, Acting]:
        """Full tag → what acts by itself, and what to do about it."""
        return everything_self_acting(self.known)

    @cached_property
    def conductors(self) -> dict[str, Conductors]:
        """Zone → its conductors, where a record at the zone itself tells them."""
        return conductors_at(self.known)

    @cached_property
    def in_force(self) -> dict[str, dict[str, str]]:
        """Panel or equipment → device → the lock that hangs on it now."""
        return locks_in_force(self.known.portfolio.buildings)

    @cached_property
    def elsewhere(self) -> dict[str, str]:
        """Device that stands in another than its normal position → that position."""
        return {d.tag: d.present for d in self.network.devices.values() if d.present}

    @cached_property
    def temporary(self) -> tuple[TemporaryWay, ...]:
        """Every temporary feed that is recorded."""
        return tuple(temporary_ways(self.known))

    def dark(self, devices: tuple[str, ...]) -> dict[str, None]:
        """Return the loads that go dark when devices are opened, as the keys of a dict.

        Far locks are shared by many targets, so what they darken is found once.
        """
        if devices not in self._dark:
            portfolio = self.known.portfolio
            found = downstream(portfolio.supply, portfolio.hazard, devices)
            self._dark[devices] = {a.load: None for a in found.affected if goes_dark(a.outcome)}
        return self._dark[devices]

    def energy_of(self, tag: str) -> tuple[StoredEnergy, ...]:
        """Return the stored energy recorded of a thing; a circuit has none of its own."""
        record = self.known.record_of(tag) if "/" not in local(tag) else None
        found: tuple[StoredEnergy, ...] = getattr(record, "stored_energy", ())
        return found

    def energy_within(self, zones: Iterable[str]) -> tuple[str, ...]:
        """Return what holds stored energy and hangs together with zones without a lock between.

        It may stand on no way from a source, and yet feed the target from what it has stored.
        """
        piece_of, holders = self._pieces
        pieces = dict.fromkeys(piece_of[zone] for zone in zones if zone in piece_of)
        return tuple(dict.fromkeys(tag for piece in pieces for tag in holders[piece]))

    @cached_property
    def _pieces(self) -> tuple[dict[str, int], list[list[str]]]:
        """Node → number of its piece, for pieces that hold stored energy; number → what holds it.

        A piece hangs together without a device that isolates.
        """
        piece_of: dict[str, int] = {}
        holders: list[list[str]] = []
        for tag, box in self.network.enclosures.items():
            for zone in box.zones if self.energy_of(tag) else ():
                if zone not in piece_of:
                    self._spread(zone, len(holders), piece_of)
                    holders.append([])
                holders[piece_of[zone]].append(tag)
        return piece_of, holders

    def _spread(self, zone: str, number: int, piece_of: dict[str, int]) -> None:
        piece_of[zone] = number
        stack = [zone]
        while stack:
            for near in self.network.hazard[stack.pop()]:
                device = self.network.devices.get(near)
                if near not in piece_of and (device is None or not device.isolates):
                    piece_of[near] = number
                    stack.append(near)


def goes_dark(outcome: Outcome) -> bool:
    """Say whether a load is dark in the end."""
    return outcome in ("dark", "rides through, then dark")
