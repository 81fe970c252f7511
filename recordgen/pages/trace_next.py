"""What to trace next in a building: what most people lean on, and nobody has verified."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

from recordgen.evidence.coverage import TraceNext, trace_next
from recordgen.evidence.proof_edges import LeanedOn, feeds_below
from recordgen.network.model import building_of, local
from recordgen.pages import paths
from recordgen.pages.lockout import targets
from recordgen.pages.page import Heading, Page
from recordgen.pages.share import share_of
from recordgen.pages.shortened import Shortened, shortened
from recordgen.pages.view import View

_SHOWN: Final = 60
"""How many rows a worklist shows: more than anybody traces before the next build."""
_LOADS: Final = 6
_ORDER: Final = (
    "First what lifts a STOP notice, then by how many critical and life-safety loads wait for it, "
    "how many lockout sheets that are inspected, how many other lockout sheets, how many loads. "
    "How far it is to walk, and whether the circuit may be switched, is not known here."
)


@dataclass(frozen=True)
class NextLine:
    """Something to trace, ready to show; `worksheet` is the path of the blank to take along.

    `place` is the full tag of what the room, directions and key belong to.
    """

    tag: str
    purpose: str
    lifts_stop: bool
    place: str
    room: str
    directions: str
    key: str
    reasons: tuple[str, ...]
    loads: Shortened[str]
    worksheet: str


@dataclass(frozen=True)
class FeedLine:
    """A feed that is not verified, how many loads hang below it, and why it is not."""

    thing: str
    by: str
    reason: str
    loads: int
    purpose: str
    worksheet: str


def pages(view: View) -> Iterator[Page]:
    """Yield the worklist of every building."""
    by_building: dict[str, list[TraceNext]] = {name: [] for name in view.portfolio.buildings}
    with_sheet = {tag for tag in targets(view) if tag in view.network.loads}
    for item in trace_next(
        view.portfolio.buildings,
        view.network,
        view.portfolio.grades,
        with_sheet,
        _inspected(view),
    ):
        by_building[building_of(item.tag)].append(item)
    feeds: dict[str, list[LeanedOn]] = {name: [] for name in view.portfolio.buildings}
    for edge in feeds_below(view.portfolio.edge_grades):
        if edge.grade.name == "unverified":
            feeds[building_of(edge.thing)].append(edge)
    for building, items in by_building.items():
        yield _page(view, building, items, feeds[building])


def _page(view: View, building: str, items: list[TraceNext], feeds: list[LeanedOn]) -> Page:
    title = f"What to trace next: {view.building_name(building)}"
    return view.page(
        paths.index(building, "trace-next"),
        title,
        "trace_next.html",
        building=building,
        nav="What to trace next",
        contents=[
            Heading(1, "top", title),
            Heading(2, "circuits", "Circuits and loads"),
            Heading(2, "feeds", "Feeds"),
        ],
        context={
            "share": share_of(view.portfolio.shares.buildings[building]),
            "order": _ORDER,
            "count": len(items),
            "lines": shortened((_line(view, item) for item in items), len(items), _SHOWN),
            "feed_count": len(feeds),
            "feeds": shortened((_feed(view, edge) for edge in feeds), len(feeds), _SHOWN),
        },
    )


def _line(view: View, item: TraceNext) -> NextLine:
    building = building_of(item.tag)
    record = view.answers.record_of(item.tag)
    panel = item.tag.partition("/")[0]
    return NextLine(
        tag=item.tag,
        purpose=item.what,
        lifts_stop=item.lifts_stop,
        place=panel,
        room=(record.room if record else None) or "",
        directions=(record.directions if record else None) or "",
        key=(record.key if record else None) or "",
        reasons=item.reasons,
        loads=shortened(item.loads, len(item.loads), _LOADS),
        worksheet=_worksheet(view, building, item.what, panel),
    )


def _feed(view: View, edge: LeanedOn) -> FeedLine:
    feeder = edge.by.partition("/")[0]
    purpose = "list what is downstream"
    sheet = _worksheet(view, building_of(feeder), purpose, feeder)
    return FeedLine(edge.thing, edge.by, edge.grade.reason, edge.count, purpose, sheet)


def _worksheet(view: View, building: str, purpose: str, panel: str) -> str:
    """Return the path of the worksheet of a panel, or the empty one where it is none."""
    return paths.worksheet(building, purpose, local(panel) if view.is_panel(panel) else "")


def _inspected(view: View) -> set[str]:
    return {
        view.canonical(str(reference), building)
        for building, loaded in view.portfolio.buildings.items()
        for inspection in loaded.records.inspections.values()
        if inspection.kind == "lockout sheet" and inspection.date <= view.portfolio.as_of
        for reference in inspection.of
    }
