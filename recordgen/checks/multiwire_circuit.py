"""Circuits that share a neutral and do not open together, or stand on one phase or in two panels.

Passing: `16: {device: 20 A, neutral_shared_with: [14], handle_tied_with: [14], loads: none}`
Failing: `16: {device: 20 A, neutral_shared_with: [14], loads: none}`

With one of them open, the shared neutral still carries the other's current: whoever lifts it may
get the full voltage. NEC 210.4(B) (2008 and later, from memory) wants all ungrounded conductors of
such a circuit opened at once where it begins, and 210.4(A) all of it in one panel. On one phase,
the currents add up in the neutral instead of taking from each other, and no device protects it
(the definition of a multiwire branch circuit in article 100, from memory). A handle recorded as
tied, with nothing that says to which, is a finding of its own (`handle_tie_partner`), and left out
here.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.checks.facts import Facts
from recordgen.network.model import NO_LEGS, building_of, local
from recordgen.network.references import Resolver
from recordgen.problems import Location, Problem
from recordgen.records.supply import Circuit


@dataclass(frozen=True)
class _Shared:
    """Circuits on one neutral, full tag → record, in order of the records; and where it is said."""

    circuits: dict[str, Circuit]
    place: Location

    @property
    def said(self) -> str:
        *first, last = map(local, self.circuits)
        return f"{', '.join(first)} and {last} share a neutral"


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each shared neutral that is not as it should be, or not shown to be."""
    for shared in _shared_neutrals(facts):
        if len({tag.rpartition("/")[0] for tag in shared.circuits}) > 1:
            yield _problem(
                shared,
                "neutral-of-two-panels",
                "and no tie can open them together: NEC 210.4(A) wants them in one panel",
                "give each its own neutral; until then, lock all of them",
            )
        elif not _open_together(facts, shared):
            yield _problem(
                shared,
                "multiwire-disconnect",
                f"and {_how(shared)}: NEC 210.4(B) wants them opened at once",
                "tie the handles and record `handle_tied_with`; until then, lock all of them",
            )
        for phase in _phases_twice(facts, shared):
            yield _problem(
                shared,
                "neutral-carries-sum",
                f"and more than one of them stands on phase {phase}{_assumed(facts, shared)}: "
                "their currents add up in it, and nothing protects it",
                "move one to another phase, or give it its own neutral",
            )


def _shared_neutrals(facts: Facts) -> Iterator[_Shared]:
    """Yield each set of circuits that share a neutral, on from circuit to circuit."""
    circuits = dict(_circuits(facts))
    partners: dict[str, list[str]] = {tag: [] for tag in circuits}
    resolver = Resolver(facts.buildings, [])
    for tag, circuit in circuits.items():
        for reference in circuit.neutral_shared_with:
            panel = local(tag).rpartition("/")[0]
            target = resolver.resolve(reference, building_of(tag), _place(facts, tag), panel)
            if target is not None and target.tag in circuits:
                partners[tag].append(target.tag)
                partners[target.tag].append(tag)
    order = {tag: index for index, tag in enumerate(circuits)}
    seen: set[str] = set()
    for tag in circuits:
        if tag in seen or not partners[tag]:
            continue
        found, stack = {tag}, [tag]
        while stack:
            new = set(partners[stack.pop()]) - found
            found |= new
            stack.extend(new)
        seen |= found
        together = {each: circuits[each] for each in sorted(found, key=order.__getitem__)}
        saying = next(each for each in together if together[each].neutral_shared_with)
        yield _Shared(together, _place(facts, saying, "neutral_shared_with"))


def _circuits(facts: Facts) -> Iterator[tuple[str, Circuit]]:
    for building, loaded in facts.buildings.items():
        for tag, panel in loaded.records.panels.items():
            for position, circuit in panel.circuits.items():
                if not circuit.space:
                    yield f"{building}:{tag}/{position}", circuit


def _place(facts: Facts, tag: str, *steps: str) -> Location:
    panel, _, position = local(tag).rpartition("/")
    loaded = facts.buildings[building_of(tag)]
    return loaded.where("panels", panel, "circuits", position, *steps)


def _open_together(facts: Facts, shared: _Shared) -> bool:
    """Say whether all open at once, or too little is recorded of a tie that is there."""
    devices = facts.network.devices
    first = next(iter(shared.circuits))
    together = {first, *devices[first].opens_with}
    apart = [tag for tag in shared.circuits if tag not in together]
    tied = [tag for tag in (first, *apart) if _has_handle(shared.circuits[tag], "handle tie")]
    return not apart or all(tag in tied and not devices[tag].opens_with for tag in (first, *apart))


def _has_handle(circuit: Circuit, handle: str) -> bool:
    return circuit.device is not None and circuit.device.handle == handle


def _how(shared: _Shared) -> str:
    if any(_has_handle(circuit, "independent") for circuit in shared.circuits.values()):
        return "they are recorded as opening one by one"
    return "nothing recorded opens them together"


def _phases_twice(facts: Facts, shared: _Shared) -> Iterator[str]:
    """Yield the phases on which more than one of the circuits stands, as far as is recorded."""
    legs = [facts.network.devices[tag].legs for tag in shared.circuits]
    for bit, phase in enumerate("ABC"):
        if sum(leg == 1 << bit for leg in legs if leg != NO_LEGS) > 1:
            yield phase


def _assumed(facts: Facts, shared: _Shared) -> str:
    for tag in shared.circuits:
        panel = local(tag).rpartition("/")[0]
        if facts.buildings[building_of(tag)].records.panels[panel].numbering is None:
            return " (assuming odd numbers on the left)"
    return ""


def _problem(shared: _Shared, code: str, what: str, hint: str) -> Problem:
    return Problem(
        "warning",
        code,
        f"{shared.said}, {what}",
        shared.place,
        hint,
        subjects=tuple(shared.circuits),
    )
