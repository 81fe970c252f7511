"""Worksheets of a panel: readings at its positions, what is downstream, a walk through its card."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from recordgen.network.model import local
from recordgen.pages import paths
from recordgen.pages.directory import Cell, Entry, directory_rows, entry_of
from recordgen.pages.page import Heading, Page
from recordgen.pages.panel_stops import PanelStops, panel_stops
from recordgen.pages.view import View
from recordgen.pages.worksheet_inspections import inspection_sheet
from recordgen.pages.worksheet_parts import GAP, Sheet
from recordgen.pages.worksheet_traces import trace_sheet
from recordgen.pages.worksheet_wording import NO_RECORD_PROVES
from recordgen.records.supply import Panel

# Few enough for two pages with 42 positions.
_COVERS: Final = 4
_TIES: Final = 6
_UNKNOWN_POSITIONS: Final = 12


@dataclass(frozen=True)
class Side:
    """A position on one side of a worksheet.

    `rows` is how many rows its device takes; 0 where it began further up, at `continues`; `stops`
    are the positions on it that a STOP notice stands on.
    """

    number: str
    entries: tuple[Entry, ...]
    kind: str
    rows: int
    continues: str
    stops: tuple[str, ...]


@dataclass(frozen=True)
class CircuitRow:
    """A circuit on the sheet of what is downstream; `feeds` are full tags, `loads` with rooms."""

    entry: Entry
    loads: tuple[tuple[str, str], ...]
    feeds: tuple[str, ...]
    unknown: bool
    spare: bool
    stop: bool


def panel_pages(view: View, building: str, tag: str) -> Iterator[Page]:
    """Yield the worksheets of a panel."""
    panel = view.loaded(building).records.panels[tag]
    full = f"{building}:{tag}"
    stops = panel_stops(view, full, panel)
    rows = [
        (_side(row.left, stops), _side(row.right, stops)) for row in directory_rows(panel)
    ] or None
    context = {
        "tag": full,
        "name": tag,
        "panel": panel,
        "stops": stops,
        "rows": rows,
        "devices": [] if rows else [_device(panel, p, stops) for p in panel.circuits],
        "unknown_positions": _UNKNOWN_POSITIONS,
    }
    at = f"at: {tag}/{GAP}, "
    yield panel_page(
        view,
        full,
        "identify the breaker",
        "worksheet_breakers.html",
        trace_sheet(
            view,
            building,
            "identify the breaker",
            readings=(
                f"at: {tag}, values: {GAP}, sensitivity: {GAP}",
                f"{at}values: {GAP}, sensitivity: {GAP}",
                f"{at}values: [{GAP}, {GAP}, {GAP}], sensitivity: {GAP}",
            ),
        ),
        {**context, "covers": ((tag, panel.room or ""),), "more_covers": _COVERS, "ties": _TIES},
    )
    yield panel_page(
        view,
        full,
        "list what is downstream",
        "worksheet_downstream.html",
        trace_sheet(
            view,
            building,
            "list what is downstream",
            in_table=("circuit", "found", "confirmed_by_opening"),
            without=("readings",),
            known={"circuit": f"{tag}/{GAP}"},
        ),
        {**context, "circuits": tuple(_circuit_rows(view, full, panel, stops))},
    )
    yield panel_page(
        view,
        full,
        "directory walk-through",
        "worksheet_walk.html",
        inspection_sheet("directory walk-through", tag),
        context,
    )


def panel_page(
    view: View, full: str, purpose: str, template: str, sheet: Sheet, context: Mapping[str, Any]
) -> Page:
    """Return one worksheet of a panel (full tag)."""
    building, tag = full.split(":")
    title = f"Worksheet: {purpose}, {tag}"
    return view.page(
        paths.worksheet(building, purpose, tag),
        title,
        template,
        building=building,
        contents=[Heading(1, "top", title)],
        context={"sheet": sheet, "cautions": NO_RECORD_PROVES, "purpose": purpose, **context},
    )


def _side(cell: Cell | None, stops: PanelStops) -> Side | None:
    if cell is None:
        return None
    return Side(
        str(cell.number), cell.entries, cell.kind, cell.rows, cell.continues, stops.positions
    )


def _device(panel: Panel, position: Any, stops: PanelStops) -> Side:
    circuit = panel.circuits[position]
    kind = "space" if circuit.space else "spare" if circuit.spare else "circuit"
    entry = entry_of(panel, position, circuit)
    return Side(str(position), (entry,), kind, 1, "", stops.positions)


def _circuit_rows(view: View, full: str, panel: Panel, stops: PanelStops) -> Iterator[CircuitRow]:
    for position, circuit in panel.circuits.items():
        if circuit.space:
            continue
        tag = f"{full}/{position}"
        loads = tuple((name, load.room or "") for name, load in (circuit.loads or {}).items())
        yield CircuitRow(
            entry_of(panel, position, circuit),
            loads,
            tuple(fed for fed in view.network.fed_by.get(tag, ()) if local(fed) not in dict(loads)),
            tag in view.network.unknown_load_circuits,
            circuit.spare,
            str(position) in stops.positions,
        )
