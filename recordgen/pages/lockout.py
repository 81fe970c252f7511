"""Lockout reference sheet: what to open and lock, where it is, what it darkens, what stays live."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.due import Due, inspections_due
from recordgen.network.isolation import Verdict
from recordgen.network.model import building_of, local
from recordgen.pages import paths
from recordgen.pages.answer_values import GRAVE, DeviceLine
from recordgen.pages.describe import Fact, facts
from recordgen.pages.energy_facts import energy_facts
from recordgen.pages.lock_remarks import circuit_of
from recordgen.pages.lockout_values import IsolationAnswer, ProofLine
from recordgen.pages.page import Heading, Page
from recordgen.pages.proven_shown import proven_shown
from recordgen.pages.shortened import Shortened, shortened
from recordgen.pages.view import View
from recordgen.pages.wording import CAUTIONS, FEWEST, UNGROUNDED, VERDICTS
from recordgen.pages.work_steps import lock_steps, restore_steps
from recordgen.records.parts import ArcFlashLabel, Placed
from recordgen.records.supply import Load

_NOT_TO_GROUND = (
    "corner grounded",
    "ungrounded",
    "isolated",
    "resistance grounded",
    "reactance grounded",
)
_ANSWER: dict[Verdict, str] = {
    "yes": "Open and lock {count}",
    "no": "No: locks cannot make it dead",
    "unproven": "Unproven: not known to be dead behind these locks",
}


_LISTED = 8
"""How many of a long list a sheet shows; the rest is counted."""


@dataclass(frozen=True)
class FarSources:
    """Sources told in one line, and every lock that they meet; none where nothing stops them."""

    locks: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True)
class FewerLocks:
    """Fewer locks that would do, and what they darken more."""

    devices: tuple[DeviceLine, ...]
    count: int
    darkens_more: Shortened[str]
    caution: str


@dataclass(frozen=True)
class SheetInspection:
    """The last inspection of this sheet (full tag), and by when it is due again."""

    tag: str
    date: str
    due: str
    state: str


@dataclass(frozen=True)
class Energy:
    """Stored energy of one thing, ready to show."""

    owner: str
    facts: tuple[Fact, ...]


def targets(view: View) -> Iterator[str]:
    """Yield the full tag of everything that has a lockout sheet."""
    for building, loaded in view.portfolio.buildings.items():
        for tag, panel in loaded.records.panels.items():
            yield f"{building}:{tag}"
            for position, circuit in panel.circuits.items():
                if not circuit.space:
                    yield f"{building}:{tag}/{position}"
        yield from (f"{building}:{tag}" for tag in loaded.records.equipment)
        for tag, recorded in loaded.loads.items():
            if view.has_sheet_of_its_own(recorded.load):
                yield f"{building}:{tag}"


def pages(view: View) -> Iterator[Page]:
    """Yield the lockout sheets of all panels, circuits, equipment and fixed loads."""
    inspected = {
        subject: due
        for due in inspections_due(view.portfolio.buildings, view.portfolio.as_of)
        if due.kind == "lockout sheet"
        for subject in due.subjects
    }
    for tag in targets(view):
        yield _page(view, tag, inspected.get(tag))


def _page(view: View, tag: str, inspected: Due | None) -> Page:
    building = building_of(tag)
    answer = view.answers.isolation(tag)
    record = view.answers.record_of(tag)
    name = local(tag)
    title = f"Lockout sheet: {name}"
    what = _what(view, tag)
    return view.page(
        paths.lockout(tag),
        title,
        "lockout.html",
        building=building,
        head="coded",
        depends_on=view.network_digest(building),
        contents=[
            Heading(1, "top", title),
            Heading(2, "locks", "Open, lock and tag"),
            *([Heading(2, "energy", "Stored energy")] if answer.stored_energy else []),
            Heading(2, "proof", "Every source, and each lock that it meets"),
            Heading(2, "proven", "How much of this is proven"),
            Heading(2, "live", "Stays live nearby"),
            Heading(2, "label", "Arc-flash and shock label"),
            Heading(2, "steps", "Steps"),
            Heading(2, "sign", "Signed"),
            Heading(2, "darkens", "What these locks darken"),
        ],
        context={
            "tag": tag,
            "name": name,
            "what": what,
            "kind": answer.isolation.target.kind,
            "answer": answer,
            "proven": proven_shown(view.answers.proven(answer)),
            "open_faults": view.faults.open_about(
                (
                    tag,
                    *view.answers.circuits_of(tag),
                    *(point.device.tag for point in answer.points),
                )
            ),
            "verdict": answer.verdict,
            "headline": _ANSWER[answer.verdict].format(count=_places(answer)),
            "verdict_text": VERDICTS[answer.verdict],
            "where": record,
            "reasons": shortened(answer.reasons, len(answer.reasons), _LISTED),
            "ways": shortened(answer.ways, len(answer.ways), _LISTED),
            "proof": _near(answer),
            "far": _far(answer),
            "passed": shortened(answer.passed, len(answer.passed), _LISTED),
            "elsewhere": shortened(answer.elsewhere, len(answer.elsewhere), _LISTED),
            "fewest": _fewest(answer),
            "grave": sum(line.criticality in GRAVE for line in answer.dark.loads),
            "energies": _energies(answer),
            "label": _label(view, tag, record),
            "not_to_ground": UNGROUNDED if _tests_phase_to_phase(view, tag) else "",
            "steps": lock_steps(answer),
            "restore": restore_steps(answer),
            "cautions": CAUTIONS,
            "notify": answer.dark.notify,
            "inspected": _inspected(inspected),
            "own_disconnect": _own_disconnect(view, tag, answer),
        },
    )


def _inspected(due: Due | None) -> SheetInspection | None:
    """Return the last inspection of a sheet; None where none is recorded."""
    if due is None or due.last is None or due.inspection is None:
        return None
    return SheetInspection(
        f"{due.building}:{due.inspection}",
        due.last.isoformat(),
        due.due.isoformat() if due.due else "",
        due.state,
    )


def _near(answer: IsolationAnswer) -> tuple[ProofLine, ...]:
    """Return the rows of the nearest sources, each source with every lock that it meets."""
    sources = dict.fromkeys(line.source for line in answer.proof)
    shown = set(shortened(sources, len(sources), _LISTED).items)
    return tuple(line for line in answer.proof if line.source in shown)


def _far(answer: IsolationAnswer) -> tuple[FarSources, ...]:
    """Return the sources whose ways are not shown, by the locks that they meet; none left out."""
    shown = {line.source for line in _near(answer)}
    order = {point.device.tag: number for number, point in enumerate(answer.points)}
    met: dict[str, list[str]] = {}
    for line in answer.proof:
        if line.source not in shown:
            locks = met.setdefault(line.source, [])
            locks += [line.broken_by] if line.broken_by else []
    found: dict[tuple[str, ...], list[str]] = {}
    for source, locks in met.items():
        found.setdefault(tuple(sorted(locks, key=order.__getitem__)), []).append(source)
    return tuple(FarSources(locks, tuple(sources)) for locks, sources in found.items())


def _fewest(answer: IsolationAnswer) -> FewerLocks | None:
    found = answer.fewest
    if found is None:
        return None
    more = shortened(found.darkens_more(), found.count, _LISTED)
    return FewerLocks(found.devices, found.count, more, FEWEST)


def _energies(answer: IsolationAnswer) -> tuple[Energy, ...]:
    """Return what stores energy, in order; none is left out, however many there are."""
    return tuple(Energy(owner, energy_facts(energy)) for owner, energy in answer.stored_energy)


def _places(answer: IsolationAnswer) -> str:
    count = len(answer.points)
    return "1 place" if count == 1 else f"{count} places"


def _what(view: View, tag: str) -> str:
    device = view.network.devices.get(tag)
    if device is not None:
        return device.title
    record = view.answers.record_of(tag)
    if isinstance(record, Load):
        return f"{record.kind}: {record.description}" if record.description else record.kind
    return getattr(record, "name", None) or ""


def _own_disconnect(view: View, tag: str, answer: IsolationAnswer) -> str | None:
    """Return the disconnect at a load where it is none of the places to lock."""
    device = f"{tag}/disconnect"
    locked = any(point.device.tag == device for point in answer.points)
    return device if device in view.network.devices and not locked else None


def _label(view: View, tag: str, record: Placed | None) -> tuple[Fact, ...]:
    """Return the arc-flash and shock label data recorded for a thing.

    A circuit that has none has its panel's.
    """
    circuit = circuit_of(view.answers, tag)
    own = circuit.arc_flash if circuit is not None else None
    label: ArcFlashLabel | None = own or getattr(record, "arc_flash", None)
    return facts(label) if label is not None else ()


def _tests_phase_to_phase(view: View, tag: str) -> bool:
    """Say whether a panel is recorded on a system where a test to ground alone can mislead."""
    records = view.loaded(building_of(tag)).records
    load = view.network.loads.get(tag)
    names = [local(circuit).split("/")[0] for circuit in load.circuits] if load else []
    for name in (local(tag).split("/")[0], *names):
        panel = records.panels.get(name)
        if panel is not None and panel.grounding and panel.grounding.system in _NOT_TO_GROUND:
            return True
        if panel is not None and panel.system and "delta" in panel.system.written:
            return not panel.system.high_leg
    return False
