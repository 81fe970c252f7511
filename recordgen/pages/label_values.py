"""What stands on labels: as recorded, with what is not recorded said so.

Clauses are cited from memory: NEC 408.4(B) asks that a panel names what supplies it, 408.6 and
110.24 for the available fault current with the day it was worked out.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from pydantic import BaseModel

from recordgen.network.model import local
from recordgen.pages import paths
from recordgen.pages.describe import NOT_RECORDED, facts, joined
from recordgen.pages.directory import entry_of
from recordgen.pages.label_sheets import REST
from recordgen.pages.view import View
from recordgen.records.parts import TemporaryFeed
from recordgen.records.positions import Position, Reference
from recordgen.records.supply import Circuit, Load, Panel

LabelKind = Literal["panels", "circuits", "outlets", "equipment"]
STOP: Final = "STOP: do not rely on it"
FEEDS: Final[Mapping[str, str]] = MappingProxyType(
    {
        "fed_from": "",
        "normal_from": "normal",
        "emergency_from": "emergency",
        "between": "between",
        "static_bypass_from": "static bypass",
        "maintenance_bypass_from": "maintenance bypass",
        "bypass_from": "bypass",
        "control_power_from": "control power",
        "temporary_feeds": "temporary",
    }
)
"""Field that brings energy → what a label calls it."""
CLAUSES: Final = (
    "A label says what is recorded, and is no proof. What a panel's label has to say besides is in "
    "the code in force; NEC 408.4(B) (what supplies it), 408.6 and 110.24 (available fault current "
    "with its date) are cited from memory. It is no arc-flash label."
)
"""What holds of every label, said beside them and not on them."""
_LONGEST: Final = 90
"""Letters of label data or a list of sources; a longer one stands on the page."""


@dataclass(frozen=True)
class LabelLine:
    """A line of a label: its name, which may be empty, and what is recorded."""

    name: str
    text: str

    def __str__(self) -> str:
        return f"{self.name}: {self.text}" if self.name else self.text


@dataclass(frozen=True)
class Label:
    """A label.

    Attributes
    ----------
    of : LabelKind
    tag : str
        Full tag of what it belongs to.
    head : str
        Its first line.
    lines : tuple of LabelLine
    stop : bool
        Whether a STOP notice touches it; a line says so too.
    link : str
        From the top of the site, to the page about it.
    refer : str
        Where the rest stands, for a label too small to hold it.
    revision : str
        Digest of what it says: another one means that the label has to be replaced.
    """

    of: LabelKind
    tag: str
    head: str
    lines: tuple[LabelLine, ...]
    stop: bool
    link: str
    refer: str
    revision: str


def panel_labels(view: View, building: str, panels: Iterable[str] = ()) -> Iterator[Label]:
    """Yield a label for each panel: of all, or of some local tags."""
    records = view.loaded(building).records
    for tag in panels or records.panels:
        panel, full = records.panels[tag], f"{building}:{tag}"
        lines = [
            LabelLine("", panel.name or f"name {NOT_RECORDED}"),
            LabelLine("System", _written(panel.system)),
            LabelLine("Fed from", feed_text(panel)),
            LabelLine("Fault current", _fault_current(panel)),
            *_sources(view, full),
            *_arc_flash(panel),
        ]
        yield _label(view, "panels", full, tag, lines)


def circuit_labels(view: View, building: str, panels: Iterable[str] = ()) -> Iterator[Label]:
    """Yield a label for each circuit, spares too, in order of panel and position."""
    records = view.loaded(building).records
    for tag in panels or records.panels:
        panel = records.panels[tag]
        for position, circuit in panel.circuits.items():
            if circuit.space:
                continue
            full = f"{building}:{tag}/{position}"
            lines = [
                LabelLine("", _served(view, building, full, circuit)),
                LabelLine(
                    "", entry_of(panel, position, circuit).rating or f"rating {NOT_RECORDED}"
                ),
            ]
            shared = [view.name(other, building) for other in view.answers.sharing_neutral(full)]
            if shared:
                lines.append(LabelLine("Neutral shared with", ", ".join(dict.fromkeys(shared))))
            yield _label(view, "circuits", full, local(full), lines)


def outlet_labels(view: View, building: str, panels: Iterable[str] = ()) -> Iterator[Label]:
    """Yield a label for each receptacle and whatever else is plugged in, in order of circuit.

    Without `panels`, of all, those of no recorded circuit last.
    """
    wanted = set(panels)
    found: list[tuple[tuple[str, ...], str]] = []
    for tag, recorded in view.loaded(building).loads.items():
        circuits = view.network.loads[f"{building}:{tag}"].circuits
        at = {local(circuit).partition("/")[0] for circuit in circuits}
        if is_outlet(recorded.load) and (not wanted or wanted & at):
            found.append((circuits, tag))
    order = {tag: number for number, tag in enumerate(view.network.circuit_zone)}
    found.sort(key=lambda each: order.get(each[0][0], len(order)) if each[0] else len(order) + 1)
    for circuits, tag in found:
        yield outlet_label(view, building, tag, circuits)


def outlet_label(view: View, building: str, tag: str, circuits: tuple[str, ...]) -> Label:
    """Return the label of one outlet; `circuits` are the full tags of its feeds."""
    full = f"{building}:{tag}"
    load = view.loaded(building).loads[tag].load
    head = " + ".join(view.name(circuit, building) for circuit in circuits)
    grades = [
        f"{view.name(circuit, building)} {view.portfolio.grades.of_claim(full, circuit).name}"
        if len(circuits) > 1
        else view.portfolio.grades.of_claim(full, circuit).name
        for circuit in circuits
    ]
    lines = [
        LabelLine("", _described(tag, load.kind, load.description)),
        LabelLine("Evidence", ", ".join(grades) or NOT_RECORDED),
    ]
    return _label(view, "outlets", full, head or f"circuit {NOT_RECORDED}", lines)


def equipment_labels(view: View, building: str, panels: Iterable[str] = ()) -> Iterator[Label]:
    """Yield a label for each source, piece of equipment and fixed load.

    With `panels`, only of loads and equipment that hang on one of these (local tags).
    """
    records, wanted = view.loaded(building).records, set(panels)
    if not wanted:
        for tag, source in records.sources.items():
            lines = [
                LabelLine("", _described("", source.kind, source.name)),
                LabelLine("System", _written(source.system)),
                *_arc_flash(source),
            ]
            yield _label(view, "equipment", f"{building}:{tag}", tag, lines)
    for tag, thing in records.equipment.items():
        if wanted and not wanted & _feeding(thing):
            continue
        lines = [
            LabelLine("", _described("", thing.kind, thing.name)),
            LabelLine("Fed from", feed_text(thing)),
            *_sources(view, f"{building}:{tag}"),
            *_arc_flash(thing),
        ]
        yield _label(view, "equipment", f"{building}:{tag}", tag, lines)
    for tag, recorded in view.loaded(building).loads.items():
        full, load = f"{building}:{tag}", recorded.load
        circuits = view.network.loads[full].circuits
        at = {local(circuit).partition("/")[0] for circuit in circuits}
        if is_outlet(load) or not view.has_sheet_of_its_own(load) or (wanted and not wanted & at):
            continue
        fed = ", ".join(view.name(circuit, building) for circuit in circuits)
        control = [str(ref) for ref in load.control_power_from]
        lines = [
            LabelLine("", _described("", load.kind, load.description)),
            LabelLine("Fed from", fed or NOT_RECORDED),
            *([LabelLine("Control power from", ", ".join(control))] if control else []),
        ]
        yield _label(view, "equipment", full, tag, lines)


MAKERS: Final[Mapping[LabelKind, Callable[..., Iterator[Label]]]] = MappingProxyType(
    {
        "panels": panel_labels,
        "circuits": circuit_labels,
        "outlets": outlet_labels,
        "equipment": equipment_labels,
    }
)


def is_outlet(load: Load) -> bool:
    """Say whether a load is labelled at its outlet: a receptacle, or what is plugged in."""
    return load.kind == "receptacle" or load.connection == "plug"


def feed_text(record: BaseModel) -> str:
    """Return what brings energy to a thing, as recorded: all of it, temporary feeds too."""
    found = []
    for field, name in FEEDS.items():
        refs = [str(ref) for ref in _references(getattr(record, field, None))]
        if refs:
            found.append(f"{name} {' and '.join(refs)}".strip())
    return "; ".join(found) or NOT_RECORDED


def _feeding(record: BaseModel) -> set[str]:
    """Return the local tags of what is recorded to feed a thing, without positions."""
    return {ref.tag for field in FEEDS for ref in _references(getattr(record, field, None))}


def _references(value: Reference | tuple[Reference | TemporaryFeed, ...] | None) -> list[Reference]:
    several = value if isinstance(value, tuple) else () if value is None else (value,)
    return [each.fed_from if isinstance(each, TemporaryFeed) else each for each in several]


def _sources(view: View, full: str) -> Iterator[LabelLine]:
    """Yield every source that could reach a thing in any state, where there are several."""
    proof = view.answers.isolation(full).proof
    sources = list(dict.fromkeys(view.name(line.source, full.partition(":")[0]) for line in proof))
    if len(sources) > 1:
        listed = ", ".join(sources)
        if len(listed) > _LONGEST:
            listed = f"{len(sources)}, see its lockout sheet"
        yield LabelLine("Sources, worked out", listed)


def _fault_current(panel: Panel) -> str:
    recorded = panel.recorded_fault
    if recorded is None:
        return NOT_RECORDED
    day = recorded.date.isoformat() if recorded.date else f"date {NOT_RECORDED}"
    return f"{recorded.current_a.written}, {day}"


def _arc_flash(record: BaseModel) -> Iterator[LabelLine]:
    label = getattr(record, "arc_flash", None)
    if label is not None:
        text = joined(facts(label))
        yield LabelLine("Arc flash", text if 0 < len(text) <= _LONGEST else "see its page")


def _rating(panel: Panel, position: Position, circuit: Circuit) -> str:
    return entry_of(panel, position, circuit).rating or f"rating {NOT_RECORDED}"


def _served(view: View, building: str, full: str, circuit: Circuit) -> str:
    if circuit.description:
        return circuit.description
    if circuit.spare:
        return "Spare"
    if circuit.loads_unknown:
        return f"loads {NOT_RECORDED}"
    names = [*(circuit.loads or ()), *view.network.fed_by.get(full, ())]
    served = dict.fromkeys(view.name(n, building) if ":" in n else n for n in names)
    return ", ".join(served) or f"what it serves {NOT_RECORDED}"


def _described(tag: str, kind: str, text: str | None) -> str:
    what = f"{kind}: {text}" if text else kind
    return f"{tag}, {what}" if tag else what


def _written(value: object) -> str:
    return NOT_RECORDED if value is None else str(value)


def _label(view: View, of: LabelKind, tag: str, head: str, lines: Iterable[LabelLine]) -> Label:
    stop = bool(view.answers.stops([tag]))
    said = (*([LabelLine("", STOP)] if stop else []), *lines)
    place = view.place_of(tag)
    building = tag.partition(":")[0]
    path, anchor = place or (paths.building(building), "")
    refer = REST if of == "circuits" else "rest: see its page"
    text = "\n".join((head, *map(str, said)))
    revision = hashlib.sha256(text.encode()).hexdigest()[:8]
    return Label(of, tag, head, said, stop, paths.relative(path, "", anchor), refer, revision)
