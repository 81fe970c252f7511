"""One-line diagram of a building: from its sources down, on sheets, with a list that says the same.

Two sets of sheets are drawn: wide ones for a screen that scrolls, and narrow ones for paper.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from recordgen.network.model import local
from recordgen.pages import paths
from recordgen.pages.diagram.shapes import Label, Sign, Wire
from recordgen.pages.diagram.sheets import PAPER_PX, SCREEN_PX, Sheet, sheets
from recordgen.pages.diagram.tree import Trees
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View

_MARGIN_PX = 12


@dataclass(frozen=True)
class SheetView:
    """A sheet, ready to show.

    Attributes
    ----------
    anchor, title : str
    width, height : int
        With a margin on all sides [px].
    wires : tuple of (str, str)
        Kind, and points as SVG has them.
    signs : tuple of Sign
    labels : tuple of Label
    """

    anchor: str
    title: str
    width: int
    height: int
    wires: tuple[tuple[str, str], ...]
    signs: tuple[Sign, ...]
    labels: tuple[Label, ...]


def pages(view: View) -> Iterator[Page]:
    """Yield the one-line diagram of every building that records a source or a panel."""
    for building in view.portfolio.buildings:
        trees = Trees(
            view.portfolio.study.distribution,
            building,
            view.canonical,
            lambda tag: bool(view.answers.stops([tag])),
        )
        title = f"One-line diagram: {view.building_name(building)}"
        on_screen = [_sheet(sheet) for sheet in sheets(trees.roots, SCREEN_PX)]
        yield view.page(
            paths.index(building, "one-line"),
            title,
            "one_line.html",
            building=building,
            nav="One-line diagram",
            searched=False,
            contents=[
                Heading(1, "top", title),
                *(Heading(2, sheet.anchor, sheet.title) for sheet in on_screen),
                Heading(2, "list", "The same as a list"),
                Heading(2, "signs", "What the signs mean"),
            ],
            depends_on=view.network_digest(building),
            context={
                "on_screen": on_screen,
                "on_paper": [_sheet(sheet) for sheet in sheets(trees.roots, PAPER_PX)],
                "roots": trees.roots,
            },
        )


def _sheet(sheet: Sheet) -> SheetView:
    drawing = sheet.drawing.moved(_MARGIN_PX, _MARGIN_PX)
    part = f", sheet {sheet.part} of {sheet.parts}" if sheet.parts > 1 else ""
    title = f"Below {local(sheet.tag)}" if sheet.tag else "From the sources down"
    anchor = paths.diagram_sheet(sheet.tag) + (f"-{sheet.part}" if sheet.part > 1 else "")
    width, height = round(drawing.width + _MARGIN_PX), round(drawing.height + _MARGIN_PX)
    return SheetView(
        anchor,
        title + part,
        width,
        height,
        tuple(_wires(drawing.wires)),
        drawing.signs,
        drawing.labels,
    )


def _wires(wires: Iterable[Wire]) -> Iterator[tuple[str, str]]:
    for wire in wires:
        yield wire.kind, " ".join(f"{x:.0f},{y:.0f}" for x, y in wire.points)
