"""The order of work on one target: its own devices, people and test points put into the steps."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

from recordgen.network.model import building_of, local
from recordgen.pages.answer_values import DeviceLine, Notice
from recordgen.pages.describe import joined
from recordgen.pages.energy_facts import energy_facts
from recordgen.pages.lockout_values import IsolationAnswer, WorkStep
from recordgen.pages.shortened import shortened
from recordgen.pages.wording import LOCK_STEPS, RESTORE_STEPS, RestoreName, StepName

_LISTED = 12
"""How many things a step lists; the whole list stands elsewhere on the sheet, or in JSON."""

Name = Callable[[str], str]


def lock_steps(answer: IsolationAnswer) -> tuple[WorkStep, ...]:
    """Return the steps to an electrically safe work condition, in order.

    Locks go on from the load to the source. The last steps are in the order of 29 CFR
    1910.333(b)(2)(iv): try to start, then test.
    """
    name = _namer(answer)
    details: dict[StepName, Sequence[str]] = {
        "tell": _people(answer.dark.notify),
        "inhibit": _acting(answer, name),
        "stop": [_loads(answer, name)],
        "open": _opening(answer, name),
        "release": _stored(answer, name),
        "test": [f"{name(p.enclosure)}, {p.at}: {p.between}" for p in answer.test_points],
    }
    return tuple(
        WorkStep(step.text, tuple(details.get(key, ())), step.cites)
        for key, step in LOCK_STEPS.items()
    )


def restore_steps(answer: IsolationAnswer) -> tuple[WorkStep, ...]:
    """Return the steps before energizing again, in order."""
    name = _namer(answer)
    inhibited = [name(line.tag) for line in answer.self_acting if not line.stopped]
    closing = [name(point.device.tag) for point in reversed(answer.points)]
    details: dict[RestoreName, Sequence[str]] = {
        "close": [", then ".join(closing)] if closing else [],
        "automatic": _cut(inhibited, ", "),
        "tell": [", ".join(dict.fromkeys(notice.role for notice in answer.dark.notify))],
    }
    return tuple(
        WorkStep(step.text, tuple(filter(None, details.get(key, ()))), step.cites)
        for key, step in RESTORE_STEPS.items()
        if key != "automatic" or inhibited
    )


def _namer(answer: IsolationAnswer) -> Name:
    home = answer.isolation.target.home
    return lambda tag: local(tag) if building_of(tag) == home else tag


def _cut(texts: Sequence[str], apart: str = "") -> list[str]:
    """Return texts, the first of them if there are many; in one line if `apart` is given."""
    found = shortened(texts, len(texts), _LISTED)
    lines = [*found.items, *([found.rest] if found.rest else [])]
    return [apart.join(lines)] if apart and lines else lines


def _people(notify: Iterable[Notice]) -> list[str]:
    found = [
        f"{notice.role}{f', {notice.phone}' if notice.phone else ''}: {notice.when}"
        for notice in notify
    ]
    return [*dict.fromkeys(found)] or ["whom to tell: not recorded"]


def _acting(answer: IsolationAnswer, name: Name) -> list[str]:
    inside = [line for line in answer.self_acting if not line.stopped]
    stopped = [f"{name(a.tag)} ({a.what})" for a in answer.self_acting if a.stopped]
    lines = _cut([f"{name(line.tag)}, {line.what}: {line.remedy}" for line in inside])
    lines = lines or ["nothing that acts by itself is recorded between it and the locks"]
    if stopped:
        (listed,) = _cut(stopped, "; ")
        lines.append(f"act by themselves too, and the locks stop them: {listed}")
    return lines


def _loads(answer: IsolationAnswer, name: Name) -> str:
    affected = answer.dark.loads
    if not affected:
        return "no recorded load is affected"
    tags = [name(line.tag) for line in affected]
    (listed,) = _cut(tags, ", ")
    return listed


def _opening(answer: IsolationAnswer, name: Name) -> list[str]:
    if not answer.points:
        return ["no place to lock is recorded"]
    return [
        f"{name(point.device.tag)} ({_where(point.device)})"
        + (f"; a lock hangs there already: {point.in_force}" if point.in_force else "")
        for point in answer.points
    ]


def _where(device: DeviceLine) -> str:
    return f"room {device.room}" if device.room else "room not recorded"


def _stored(answer: IsolationAnswer, name: Name) -> list[str]:
    # Never cut: what is left out here may kill after every lock is on.
    return [
        f"{name(tag)}: {joined(energy_facts(energy))}" for tag, energy in answer.stored_energy
    ] or ["none is recorded"]
