"""Panel directory: what every position feeds, and each circuit with its loads and its sheets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.evidence.grades import Grade
from recordgen.network.model import local
from recordgen.pages import paths
from recordgen.pages.calculated import Shown, shown_together
from recordgen.pages.circuit_faults import CircuitFaults, circuit_faults
from recordgen.pages.describe import Fact, facts
from recordgen.pages.directory import Entry, directory_rows, entry_of, phases_of
from recordgen.pages.element_values import asked_of
from recordgen.pages.load_values import LoadSection, load_section
from recordgen.pages.page import Heading, Page
from recordgen.pages.phase_values import foot_of
from recordgen.pages.share import share_of
from recordgen.pages.view import View
from recordgen.pages.wording import SCREENING
from recordgen.records.positions import Position
from recordgen.records.supply import Circuit, Load, Panel

_PARTS = {
    "feeder": "Feeder",
    "recorded_demand": "Recorded demand",
    "recorded_fault": "Recorded available fault current",
    "arc_flash": "Arc-flash and shock label, as recorded",
}
"""Fields of a panel that are records themselves, and their headings."""
_WORKSHEETS = (
    ("identify the breaker", "Worksheet: which breaker"),
    ("list what is downstream", "Worksheet: what is downstream"),
    ("directory walk-through", "Worksheet: walk-through"),
)


@dataclass(frozen=True)
class CircuitLoad:
    """A load in the list of a circuit."""

    tag: str
    load: Load
    power: str
    grade: Grade
    stop: bool


@dataclass(frozen=True)
class CircuitCard:
    """One circuit with everything that is recorded of it.

    `feeds` are full tags of panels, equipment and loads that name it as their feed, `runs` those
    of the ways that are recorded of it.
    """

    tag: str
    position: str
    anchor: str
    title: str
    facts: tuple[Fact, ...]
    values: tuple[Shown, ...]
    loads: tuple[CircuitLoad, ...]
    feeds: tuple[str, ...]
    runs: tuple[str, ...]
    unknown: bool
    spare: bool
    stops: tuple[str, ...]
    faults: CircuitFaults


def pages(view: View) -> Iterator[Page]:
    """Yield the directory page of every panel."""
    elsewhere = view.portfolio.study.fits.elsewhere
    for building, loaded in view.portfolio.buildings.items():
        for tag, panel in loaded.records.panels.items():
            load = load_section(view, f"{building}:{tag}", elsewhere)
            yield _page(view, building, f"{building}:{tag}", panel, load)


def _page(view: View, building: str, full: str, panel: Panel, load: LoadSection) -> Page:
    cards = [
        _card(view, f"{full}/{position}", panel, position, circuit)
        for position, circuit in panel.circuits.items()
        if not circuit.space
    ]
    name = local(full)
    title = f"{name}: {panel.name}" if panel.name else name
    problems = view.problems([full, f"{full}/main", *(card.tag for card in cards)])
    feed = view.answers.feed_paths(full)
    rows = directory_rows(panel)
    return view.page(
        paths.panel(full),
        title,
        "panel.html",
        building=building,
        head="coded",
        searched=True,
        # A figure may stay as it is while what it rests on changes.
        depends_on=view.network_digest(building),
        contents=[
            Heading(1, "top", title),
            Heading(2, "directory", "Directory"),
            Heading(2, "load", "Load and room"),
            Heading(2, "feed", "Fed from"),
            Heading(2, "recorded", "The panel"),
            Heading(2, "circuits", "Circuits"),
        ],
        context={
            "tag": full,
            "name": name,
            "panel": panel,
            "rows": rows,
            "device_rows": [] if rows else _device_rows(view, full, panel),
            "cards": cards,
            "has_main": f"{full}/main" in view.network.devices,
            "problems": problems,
            "stops": [p for p in problems if p.severity == "stop"],
            "feed": feed,
            "device_lines": {d: view.answers.device_line(d) for p in feed for d in p.devices},
            "facts": facts(
                panel,
                always=("system", "bus_rating_a", "main", "interrupting_a", "fed_from", "room"),
                skip=("circuits", "name", *_PARTS),
            ),
            "parts": [
                (heading, facts(getattr(panel, name)))
                for name, heading in _PARTS.items()
                if getattr(panel, name) is not None
            ],
            "assumed": _assumed(panel),
            "load": load,
            "share": share_of(view.portfolio.shares.panels.get(full)),
            "foot": foot_of(load.phases),
            "screening": SCREENING,
            "worksheets": [
                (paths.door_card(full), "Card for the door"),
                *((paths.worksheet(building, of, name), label) for of, label in _WORKSHEETS),
            ],
        },
    )


def _assumed(panel: Panel) -> tuple[str, ...]:
    found = []
    if panel.numbering is None and not panel.counts_by_device:
        found.append("Odd positions left and even ones right are assumed, not recorded.")
    if panel.system is not None and panel.system.high_leg and panel.high_leg is None:
        found.append("The high leg on phase B is assumed, not recorded: measure it.")
    return tuple(found)


def _device_rows(view: View, full: str, panel: Panel) -> list[tuple[Entry, str, str]]:
    found = []
    for position, circuit in panel.circuits.items():
        device = view.network.devices.get(f"{full}/{position}")
        lockable = view.answers.device_line(device.tag).lockable if device else ""
        found.append((entry_of(panel, position, circuit), lockable, str(position)))
    return found


def _card(view: View, full: str, panel: Panel, position: Position, circuit: Circuit) -> CircuitCard:
    line = view.answers.device_line(full)
    phases = phases_of(panel, position)
    head = [Fact("Device", line.rating or "not recorded", known=bool(line.rating))]
    if phases:
        head.append(Fact("Phase", phases))
    head.append(Fact("Locking", line.lockable))
    device_facts = (
        facts(circuit.device, skip=("kind", "rating_a", "poles", "lockable"))
        if circuit.device
        else ()
    )
    rest = facts(
        circuit,
        always=() if circuit.spare else ("conductors",),
        skip=("description", "device", "loads", "spare", "space", "normal"),
    )
    if circuit.normal == "open":
        head.append(Fact("Normal state", "open"))
    described = circuit.description or ("Spare" if circuit.spare else "no description recorded")
    return CircuitCard(
        tag=full,
        position=str(position),
        anchor=paths.circuit_anchor(str(position)),
        title=f"{local(full)} · {described}",
        facts=(*head, *device_facts, *rest),
        values=shown_together(view, asked_of(view.portfolio.study, full), full),
        loads=tuple(
            _load(view, f"{full.partition(':')[0]}:{tag}", full, load)
            for tag, load in (circuit.loads or {}).items()
        ),
        feeds=tuple(view.network.fed_by.get(full, ())),
        runs=view.runs_of.get(full, ()),
        unknown=full in view.network.unknown_load_circuits,
        spare=circuit.spare,
        stops=tuple(p.message for p in view.answers.stops([full])),
        faults=circuit_faults(view, full),
    )


def _load(view: View, tag: str, circuit: str, load: Load) -> CircuitLoad:
    return CircuitLoad(
        tag=tag,
        load=load,
        power=load.power_va.written if load.power_va is not None else "",
        grade=view.portfolio.grades.of_claim(tag, circuit),
        stop=bool(view.answers.stops([tag])),
    )
