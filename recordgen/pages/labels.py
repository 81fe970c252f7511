"""Labels to print: for panels, circuits, outlets and equipment, each with a code of its page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.pages import paths
from recordgen.pages.label_print import placed_labels
from recordgen.pages.label_sheets import SHEETS
from recordgen.pages.label_values import (
    CLAUSES,
    Label,
    LabelKind,
    circuit_labels,
    equipment_labels,
    outlet_labels,
    panel_labels,
)
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View

_SHEET_LIST = tuple(SHEETS.values())


@dataclass(frozen=True)
class LabelPage:
    """A page of labels in the index: its path, what is on it, and how many."""

    path: str
    text: str
    count: int
    stops: int


def pages(view: View) -> Iterator[Page]:
    """Yield the labels of every building: an index, and a page for each panel and kind."""
    for building in view.portfolio.buildings:
        listed = []
        for page, line in _leaves(view, building):
            listed.append(line)
            yield page
        yield _index(view, building, listed)


def _index(view: View, building: str, listed: list[LabelPage]) -> Page:
    title = f"Labels: {view.building_name(building)}"
    return view.page(
        paths.labels(building, "index"),
        title,
        "labels_index.html",
        building=building,
        nav="Labels",
        contents=[Heading(1, "top", title), Heading(2, "print", "To print")],
        context={
            "building": building,
            "pages": listed,
            "sheets": _SHEET_LIST,
            "address": view.address,
            "clauses": CLAUSES,
        },
    )


def _leaves(view: View, building: str) -> Iterator[tuple[Page, LabelPage]]:
    yield _leaf(view, building, "panels", "", "Panels", list(panel_labels(view, building)))
    equipment = list(equipment_labels(view, building))
    yield _leaf(view, building, "equipment", "", "Equipment and fixed loads", equipment)
    by_panel: dict[str, list[Label]] = {}
    for label in outlet_labels(view, building):
        circuits = view.network.loads[label.tag].circuits
        # An outlet of two panels is on the pages of both.
        for box in dict.fromkeys(circuit.partition("/")[0] for circuit in circuits) or ("",):
            by_panel.setdefault(box, []).append(label)
    for tag in view.loaded(building).records.panels:
        circuits_of = list(circuit_labels(view, building, [tag]))
        outlets = by_panel.pop(f"{building}:{tag}", [])
        if circuits_of:
            yield _leaf(view, building, "circuits", tag, f"Circuits of {tag}", circuits_of)
        if outlets:
            yield _leaf(view, building, "outlets", tag, f"Outlets of {tag}", outlets)
    rest = {label.tag: label for labels in by_panel.values() for label in labels}
    if rest:
        text = "Outlets of no panel of this building"
        yield _leaf(view, building, "outlets", "", text, list(rest.values()))


def _leaf(
    view: View, building: str, of: LabelKind, tag: str, text: str, labels: list[Label]
) -> tuple[Page, LabelPage]:
    title = f"Labels: {text[0].lower()}{text[1:]}"
    path = paths.labels(building, of, tag)
    stops = sum(label.stop for label in labels)
    page = view.page(
        path,
        title,
        "labels.html",
        building=building,
        head="screen",
        contents=[Heading(1, "top", title)],
        context={
            "building": building,
            "labels": placed_labels(view, labels, _SHEET_LIST),
            "sheets": _SHEET_LIST,
            "chosen": _SHEET_LIST[0].key,
            "date": view.portfolio.as_of.isoformat(),
            "stops": stops,
            "address": view.address,
            "clauses": CLAUSES,
        },
    )
    return page, LabelPage(path, text, len(labels), stops)
