"""The register of low-voltage cables and of runs: by room, by bundle, unidentified ones first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from recordgen.pages import paths
from recordgen.pages.cable_values import CableLine, cable_lines
from recordgen.pages.page import Heading, Page
from recordgen.pages.run_values import RunFacts, run_facts
from recordgen.pages.view import View


@dataclass(frozen=True)
class EndHere:
    """A cable that ends in a room: where there, and whether it has still to be identified."""

    tag: str
    kind: str
    at: str
    label: str
    other: str
    open: bool


@dataclass(frozen=True)
class Bundle:
    """A bundle with its cables, and the path of its worksheet."""

    name: str
    cables: tuple[CableLine, ...]
    worksheet: str


@dataclass(frozen=True)
class RunLine:
    """A run in the list; `traces` says how many name it."""

    facts: RunFacts
    traces: int


def pages(view: View) -> Iterator[Page]:
    """Yield the register of cables and runs of every building."""
    for building, loaded in view.portfolio.buildings.items():
        title = f"Cables and runs: {loaded.records.building.name}"
        lines = cable_lines(view, building)
        yield view.page(
            paths.index(building, "cables"),
            title,
            "cables.html",
            building=building,
            nav="Cables and runs",
            searched=True,
            contents=[
                Heading(1, "top", title),
                Heading(2, "open", "Still to identify"),
                Heading(2, "cables", "All cables"),
                Heading(2, "rooms", "By room"),
                Heading(2, "bundles", "By bundle"),
                Heading(2, "runs", "Runs"),
            ],
            context={
                "building": building,
                "lines": [(line, paths.record_anchor(line.tag)) for line in lines],
                "open": [line for line in lines if line.to_do],
                "by_room": _by_room(lines, loaded.records.rooms),
                "by_bundle": _by_bundle(building, lines),
                "runs": [
                    RunLine(
                        run_facts(view, f"{building}:{tag}"),
                        sum(trace.run == tag for trace in loaded.records.traces.values()),
                    )
                    for tag in loaded.records.runs
                ],
            },
        )


def _by_room(
    lines: Iterable[CableLine], rooms: Iterable[str]
) -> tuple[tuple[str, tuple[EndHere, ...]], ...]:
    """Return room → the cable ends in it, rooms in their recorded order; "" for an unknown one."""
    found: dict[str, list[EndHere]] = {room: [] for room in rooms}
    unknown: list[EndHere] = []
    for line in lines:
        for number, end in enumerate(line.ends):
            others = [e.room or "" for n, e in enumerate(line.ends) if n != number]
            here = EndHere(
                tag=line.tag,
                kind=line.kind,
                at=end.at or "",
                label=end.label or "",
                other=", ".join(dict.fromkeys(room for room in others if room)),
                open=bool(line.to_do),
            )
            (found.setdefault(end.room, []) if end.room else unknown).append(here)
        if len(line.ends) < 2:
            here_room = next((end.room for end in line.ends if end.room), "")
            unknown.append(EndHere(line.tag, line.kind, "", "", here_room, open=True))
    full = [(room, tuple(ends)) for room, ends in found.items() if ends]
    return (*full, ("", tuple(unknown))) if unknown else tuple(full)


def _by_bundle(building: str, lines: Iterable[CableLine]) -> tuple[Bundle, ...]:
    """Return the bundles in the order of the records; cables in none are left out."""
    found: dict[str, list[CableLine]] = {}
    for line in lines:
        if line.bundle:
            # Two spellings that differ in capitals only are taken for one, as worksheets do.
            found.setdefault(line.bundle.casefold(), []).append(line)
    return tuple(
        Bundle(
            members[0].bundle,
            tuple(members),
            paths.worksheet(building, "sort a bundle", members[0].bundle),
        )
        for members in found.values()
    )
