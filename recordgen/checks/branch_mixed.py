"""Branches of an essential or emergency system that are recorded as mixed.

Passing: `loads: {EXIT-1: {kind: exit sign, branch: normal, fed_from: A/1}}`
Failing: `loads: {EXIT-1: {kind: exit sign, branch: life safety, fed_from: A/1}}`

Wiring of the life safety and critical branches is kept apart from all other (NEC 517.31(C)(1);
700.10(B) where 517 does not hold; from memory). Up to 150 kVA one transfer switch may serve several
branches (517.31(B)), so nothing is concluded across a transfer switch. Something that is critical
for life safety, on a panel of another branch while the building has a life safety branch, is worth
a word (517.33, from memory); a unit with a battery of its own may hang anywhere (700.12).
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.calc.study.distribution import Element, LoadAt
from recordgen.checks.facts import Facts
from recordgen.network.model import building_of, local
from recordgen.problems import Location, Problem
from recordgen.records.equipment import TransferSwitch
from recordgen.records.loader import LoadedBuilding
from recordgen.records.parts import Branch
from recordgen.records.supply import Circuit, Panel, Source


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each contradiction, a note for each life-safety load elsewhere."""
    distribution = facts.study.distribution
    with_life_safety = {
        building_of(tag)
        for tag, element in distribution.elements.items()
        if _branch(element) == "life safety"
    }
    for tag, element in distribution.elements.items():
        loaded = facts.buildings[building_of(tag)]
        ahead = _branch_ahead(facts, element)
        own = _branch(element)
        if own is not None and ahead is not None and own != _branch(ahead):
            yield _contradiction(tag, own, ahead, _place(loaded, element))
        here = element if own is not None else ahead
        for one in distribution.loads_at.get(tag, []):
            if here is not None:
                yield from _load(facts, one, here, building_of(one.tag) in with_life_safety)


def _load(facts: Facts, one: LoadAt, here: Element, life_safety: bool) -> Iterator[Problem]:
    loaded = facts.buildings[building_of(one.tag)]
    path = loaded.loads[local(one.tag)].path
    own = one.load.branch
    if own is not None and own != _branch(here):
        place = loaded.where(path[0], path[1], *path[2:], "branch")
        yield _contradiction(one.tag, own, here, place)
    battery = any(stored.kind == "battery" for stored in one.load.stored_energy)
    critical = one.load.criticality == "life safety"
    if critical and life_safety and own is None and not battery and _branch(here) != "life safety":
        yield Problem(
            "note",
            "life-safety-elsewhere",
            f"{local(one.tag)} is recorded as critical for life safety and hangs on "
            f"{local(here.tag)}, {_branch(here)} branch",
            loaded.where(path[0], path[1], *path[2:], "criticality"),
            "see whether NEC 517.33 puts it on the life safety branch; if it is right as it is, "
            "record its `branch`",
            subjects=(one.tag, here.tag),
        )


def _branch(element: Element) -> Branch | None:
    return None if isinstance(element.record, Source) else element.record.branch


def _branch_ahead(facts: Facts, element: Element) -> Element | None:
    """Return the next element upstream that records a branch, on this side of a transfer switch.

    Nor does it go on past a tap ahead of a main device, as of a fire pump: that is the service.
    """
    path = facts.study.distribution.path(element.tag)
    for below, each in zip(reversed(path), reversed(path[:-1]), strict=False):
        if isinstance(below.record, TransferSwitch) or _tapped(below):
            return None
        if _branch(each) is not None and not isinstance(each.record, TransferSwitch):
            return each
    return None


def _tapped(element: Element) -> bool:
    feeds = getattr(element.record, "fed_from", None) or ()
    return any(reference.port == "line" for reference in feeds)


def _place(loaded: LoadedBuilding, element: Element) -> Location:
    name = local(element.tag)
    if isinstance(element.record, Circuit):
        panel, _, position = name.rpartition("/")
        return loaded.where("panels", panel, "circuits", position, "branch")
    section = "panels" if isinstance(element.record, Panel) else "equipment"
    return loaded.where(section, name, "branch")


def _contradiction(tag: str, own: Branch, ahead: Element, place: Location) -> Problem:
    return Problem(
        "warning",
        "branch-mixed",
        f"{local(tag)} is recorded as {own} branch and hangs on {local(ahead.tag)}, "
        f"{_branch(ahead)} branch: NEC 517.31(C) and 700.10(B) keep them apart",
        place,
        "correct the `branch` of one; if both are right, the wiring is mixed",
        subjects=(tag, ahead.tag),
    )
