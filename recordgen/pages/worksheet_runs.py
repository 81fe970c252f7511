"""Worksheets of a run, for whatever is traced along it, and of a bundle of cables."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Final

from recordgen.evidence.run_places import DIGGING
from recordgen.network.cross_references import named_thing
from recordgen.pages import paths
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View
from recordgen.pages.worksheet_parts import DISTANCES, GAP
from recordgen.pages.worksheet_traces import KEYS, trace_sheet
from recordgen.pages.worksheet_wording import NO_RECORD_PROVES
from recordgen.records.field import Cable, Landmark, Run

_MORE_PLACES: Final = 4
_MORE_CABLES: Final = 3
_BLANK_PLACES: Final = 14
FIBRE: Final = (
    "Recorded as fibre: a tracer's signal does not pass along it, only along metal laid with it."
)


@dataclass(frozen=True)
class PlaceRow:
    """A place along a run to read at; without `at` one to fill in between two landmarks."""

    at: str
    what: str
    room: str
    ground: str


@dataclass(frozen=True)
class CableRow:
    """A cable of a bundle."""

    tag: str
    what: str
    ends: tuple[str, ...]
    fibre: bool


@dataclass(frozen=True)
class DistanceBlank:
    """What another instrument along a run shows: the key, and the keys below it."""

    key: str
    what: str
    keys: tuple[str, ...]


_SHOWN_BY: Final = {
    "echo": "a reflectometer: open or short",
    "bridge": "a bridge at balance: ground fault or short",
}


def distance_blanks(purpose: str) -> tuple[DistanceBlank, ...]:
    """Return where to write what other instruments show, of those that a purpose asks for."""
    return tuple(
        DistanceBlank(key, what, DISTANCES[key])
        for key, what in _SHOWN_BY.items()
        if key in KEYS[purpose]
    )


def run_page(view: View, building: str, tag: str) -> Page:
    """Return the worksheet of a run."""
    run = view.loaded(building).records.runs[tag]
    key, of = _of(view, building, run)
    underground = any(_underground(mark) for mark in run.landmarks)
    title = f"Worksheet: along run {tag}"
    known = {"run": tag, **({key: of} if key else {})}
    return view.page(
        paths.worksheet(building, "along a run", tag),
        title,
        "worksheet_run.html",
        building=building,
        contents=[Heading(1, "top", title)],
        context={
            "sheet": trace_sheet(
                view,
                building,
                "along a run",
                known=known,
                without={"circuit", "cable"} - {key},
                readings=(
                    f"at: {GAP}, values: {GAP}, sensitivity: {GAP}, note: {GAP}",
                    f"at: {GAP}, values: {GAP}, sensitivity: {GAP}, note: read again",
                ),
            ),
            "cautions": NO_RECORD_PROVES,
            "tag": tag,
            "of": of,
            "run": run,
            "rows": tuple(_places(run)),
            "more": _MORE_PLACES,
            "distances": distance_blanks("along a run"),
            "digging": DIGGING if underground else "",
            "fibre": FIBRE if _is_fibre(view, building, key, of) else "",
        },
    )


def _of(view: View, building: str, run: Run) -> tuple[str, str]:
    """Return the key of a trace for what a run is of, and its name; no key for equipment."""
    loaded = view.loaded(building)
    if run.of.building is None and run.of.tag in loaded.records.cables and run.of.port is None:
        return "cable", run.of.tag
    there = view.portfolio.buildings.get(run.of.building or building)
    full = named_thing(there, run.of) if there is not None else None
    if full is not None and full in view.network.circuit_zone:
        return "circuit", view.name(full, building)
    return "", str(run.of)


def _is_fibre(view: View, building: str, key: str, tag: str) -> bool:
    return key == "cable" and view.loaded(building).records.cables[tag].kind == "fibre"


def _underground(mark: Landmark) -> bool:
    return bool(mark.underground) or mark.depth_m is not None


def _places(run: Run) -> Iterator[PlaceRow]:
    """Yield the landmarks, a row to fill in between each two, or blank rows where none is known."""
    marks = run.landmarks
    if not marks:
        yield from (PlaceRow("", "", "", "") for _ in range(_BLANK_PLACES))
        return
    yield _place(marks[0])
    for before, after in pairwise(marks):
        below = "between two underground" if _underground(before) and _underground(after) else ""
        yield PlaceRow("", "", "", below)
        yield _place(after)


def _place(mark: Landmark) -> PlaceRow:
    ground = ""
    if _underground(mark):
        depth = f"depth {mark.depth_m}" if mark.depth_m is not None else "depth not recorded"
        ground = f"underground, {depth}"
    at = str(mark.at_m) if mark.at_m is not None else "distance not recorded"
    return PlaceRow(at, mark.what, mark.room or "", ground)


def bundles(view: View, building: str) -> dict[str, tuple[str, tuple[tuple[str, Cable], ...]]]:
    """Return the bundles of a building: folded name → name as written first, and its cables.

    Two spellings that differ in capitals only would have one path, and are taken for one bundle.
    """
    found: dict[str, tuple[str, tuple[tuple[str, Cable], ...]]] = {}
    for tag, cable in view.loaded(building).records.cables.items():
        if cable.bundle:
            name, cables = found.get(cable.bundle.casefold(), (cable.bundle, ()))
            found[cable.bundle.casefold()] = (name, (*cables, (tag, cable)))
    return found


def bundle_pages(view: View, building: str) -> Iterator[Page]:
    """Yield the worksheet of every recorded bundle."""
    for name, cables in bundles(view, building).values():
        title = f"Worksheet: sort bundle {name}"
        rows = tuple(_cable_row(tag, cable) for tag, cable in cables)
        yield view.page(
            paths.worksheet(building, "sort a bundle", name),
            title,
            "worksheet_bundle.html",
            building=building,
            contents=[Heading(1, "top", title)],
            context={
                "sheet": trace_sheet(view, building, "sort a bundle"),
                "cautions": NO_RECORD_PROVES,
                "bundle": name,
                "rows": rows,
                "more": _MORE_CABLES,
                "fibre": FIBRE if any(row.fibre for row in rows) else "",
            },
        )


def _cable_row(tag: str, cable: Cable) -> CableRow:
    what = ", ".join(filter(None, (cable.kind, cable.category, cable.description)))
    ends = tuple(
        ", ".join(filter(None, (f"room {end.room}" if end.room else "", end.at, end.label)))
        or "not recorded"
        for end in cable.ends
    )
    return CableRow(tag, what, ends, cable.kind == "fibre")
