"""Answers as text that reads well at 80 columns, and as JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from typing import Any

from recordgen.network.feed_path import FeedPath
from recordgen.network.model import building_of, local
from recordgen.pages.answer_values import (
    DeviceLine,
    DownstreamAnswer,
    IsolationAnswer,
    LiveLine,
    LoadLine,
)
from recordgen.pages.wording import CAUTION, VERDICTS, outcome_text

WIDTH = 80


def _wrap(text: str, indent: str = "", hanging: str | None = None) -> Iterator[str]:
    yield from textwrap.wrap(
        text,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_long_words=False,
        break_on_hyphens=False,
    )


def _heading(text: str) -> Iterator[str]:
    yield ""
    yield text.upper()


def device_text(line: DeviceLine, home: str) -> str:
    """Return a device in one line: tag, rating, title, room; `home` is the building asked about."""
    parts = [name(line.tag, home), line.rating or "rating not recorded", line.title]
    where = f"room {line.room}" if line.room else "room not recorded"
    return ", ".join(part for part in (*parts, where, line.directions) if part)


def name(node: str, home: str) -> str:
    """Return a full tag as people of a building say it; other texts as they are."""
    is_tag = ":" in node and " " not in node
    return local(node) if is_tag and building_of(node) == home else node


def _listed(tags: Iterable[str], home: str) -> str:
    return ", ".join(name(tag, home) for tag in tags)


def downstream_text(answer: DownstreamAnswer) -> Iterator[str]:
    """Yield the lines of a downstream answer."""
    home = building_of(answer.opened[0].tag)
    yield from _stops(answer.stops)
    opened = " + ".join(name(line.tag, home) for line in answer.opened)
    yield from _wrap(f"Opening {opened} (from the {answer.positions} positions)", "", "  ")
    for device in answer.opened:
        yield from _wrap(device_text(device, home), "  ", "    ")
    yield ""
    yield from _wrap(summary(answer))
    for line in answer.loads:
        yield from _load_text(line, home)
    if answer.unknown_loads:
        yield from _heading("Goes dark, loads not recorded")
        yield from _wrap(_listed(answer.unknown_loads, home), "  ")
    if answer.nowhere:
        yield from _heading("Source not recorded: may go dark too")
        yield from _wrap(_listed(answer.nowhere, home), "  ")
    yield from _live(answer.still_live, home)
    yield from _heading("Tell first")
    for notice in answer.notify:
        phone = f", {notice.phone}" if notice.phone else ""
        yield from _wrap(f"{notice.role}{phone} ({notice.when})", "  ", "    ")
    if not answer.notify:
        yield "  nobody is recorded"
    yield ""
    yield from _wrap(CAUTION)


def summary(answer: DownstreamAnswer) -> str:
    """Return the answer in one sentence."""
    if not answer.loads:
        return "No recorded load is affected."
    counts: dict[str, int] = {}
    for line in answer.loads:
        counts[line.outcome] = counts.get(line.outcome, 0) + 1
    listed = ", ".join(f"{count} {outcome}" for outcome, count in counts.items())
    known = f"{answer.graded('confirmed')} confirmed, {answer.graded('traced')} traced"
    total = "1 load is affected" if len(answer.loads) == 1 else f"{len(answer.loads)} loads are"
    total = total if len(answer.loads) == 1 else f"{total} affected"
    return f"{total}: {listed}. Of these {known}, {answer.graded('unverified')} unverified."


def _load_text(line: LoadLine, home: str) -> Iterator[str]:
    mark = "STOP " if line.stop else ""
    grave = f" [{line.criticality}]" if line.criticality not in ("", "routine") else ""
    room = f", room {line.room}" if line.room else ""
    what = line.description or line.kind
    circuits = "+".join(name(c, home) for c in line.circuits) or "source not recorded"
    outcome = outcome_text(line.outcome, line.detail, again=line.again)
    yield from _wrap(
        f"{mark}{name(line.tag, home)}{grave}: {what}{room} ({circuits}, {line.grade.name})",
        "  ",
        "    ",
    )
    yield from _wrap(f"→ {outcome}", "      ", "        ")


def _live(lines: Iterable[LiveLine], home: str) -> Iterator[str]:
    yield from _heading("Stays live")
    found = False
    for line in lines:
        found = True
        source = f", from {name(line.source, home)}" if line.source else ""
        yield from _wrap(f"{name(line.enclosure, home)}: {line.what}{source}", "  ", "    ")
    if not found:
        yield "  nothing recorded in the same enclosures"


def _stops(problems: Iterable[Any]) -> Iterator[str]:
    for problem in problems:
        yield from _wrap(f"STOP: {problem.message} ({problem.location})", "", "      ")
    if problems:
        yield ""


def isolation_text(answer: IsolationAnswer) -> Iterator[str]:
    """Yield the lines of an isolation answer."""
    found = answer.isolation
    home = building_of(found.target.tag)
    yield from _stops(answer.stops)
    yield f"To make {local(found.target.tag)} dead ({found.target.kind})"
    yield from _wrap(VERDICTS[answer.verdict], "  ")
    for reason in answer.reasons:
        yield from _wrap(f"! {reason}", "  ", "    ")
    yield from _heading("Open, lock and tag")
    for number, point in enumerate(answer.points, 1):
        yield from _wrap(f"{number}. {device_text(point.device, home)}", "  ", "     ")
        way = " → ".join(name(node, home) for node in point.way)
        yield from _wrap(f"breaks: {way}", "     ", "       ")
    if not answer.points:
        yield "  no lock point is recorded"
    yield from _heading("These locks darken")
    yield from _wrap(summary(answer.dark), "  ")
    yield from _live(answer.still_live, home)
    if answer.passed:
        yield from _heading("Nearer, but no point to lock")
        for device, why in answer.passed:
            yield from _wrap(f"{name(device, home)}: {why}", "  ", "    ")
    if answer.stored_energy:
        yield from _heading("Stored energy")
        for tag, energy in answer.stored_energy:
            wait = energy.wait_min.written if energy.wait_min is not None else "not recorded"
            what = energy.what or energy.kind
            yield from _wrap(f"{name(tag, home)}: {what}, wait {wait}", "  ", "    ")
    if answer.notes:
        yield from _heading("Nobody has recorded having looked")
        for note in answer.notes:
            yield from _wrap(note, "  ", "    ")
    yield ""
    yield from _wrap(CAUTION)


def feed_text(
    tag: str, paths: Iterable[FeedPath], device_lines: dict[str, DeviceLine]
) -> Iterator[str]:
    """Yield the lines of a feed answer: source to load, each device with its rating."""
    home = building_of(tag)
    for path in paths:
        state = "standby" if path.standby else "normal"
        yield f"{local(tag)} by {name(path.feed, home)} ({state})"
        if path.source is None:
            yield "  no source reaches it in the normal state"
            continue
        yield f"  {name(path.source, home)}"
        for depth, device in enumerate(path.devices, 1):
            line = device_text(device_lines[device], home)
            yield from _wrap(
                line, "  " + " " * min(depth, 10) + "└ ", "  " + " " * min(depth, 10) + "    "
            )
        yield ""
    yield from _wrap(CAUTION)


def downstream_json(answer: DownstreamAnswer) -> dict[str, object]:
    """Return a downstream answer as plain values."""
    return {
        "opened": [local(line.tag) for line in answer.opened],
        "positions": answer.positions,
        "loads": [
            {
                "tag": line.tag,
                "circuit": [*line.circuits],
                "room": line.room or None,
                "outcome": line.outcome,
                "detail": line.detail or None,
                "may_be_energized_again": line.again,
                "evidence": line.grade.name,
            }
            for line in answer.loads
        ],
        "circuits_with_unknown_loads": [*answer.unknown_loads],
        "loads_with_unknown_source": [*answer.nowhere],
        "still_live": [_live_json(line) for line in answer.still_live],
        "notify": [
            {"role": n.role, "phone": n.phone or None, "when": n.when, "building": n.building}
            for n in answer.notify
        ],
        "stop": [problem.as_json() for problem in answer.stops],
    }


def _live_json(line: LiveLine) -> dict[str, object]:
    return {
        "enclosure": line.enclosure,
        "what": line.what,
        "source": line.source or None,
    }


def isolation_json(answer: IsolationAnswer) -> dict[str, object]:
    """Return an isolation answer as plain values.

    `fewest` is the smallest set known; here always the near set, which is sound.
    """
    found = answer.isolation
    points = [point.device for point in found.points]
    return {
        "target": found.target.tag,
        "isolable": answer.verdict,
        "points": points,
        "fewest": points,
        "sources": [*found.sources],
        "loads_dark": [line.tag for line in answer.dark.loads if line.outcome == "dark"],
        "reasons": [*answer.reasons],
        "ways": {
            point.device: [*line.way]
            for point, line in zip(found.points, answer.points, strict=True)
        },
        "unbroken": [[*way] for way in answer.ways],
        "still_live": [_live_json(line) for line in answer.still_live],
        "not_looked_for": [*answer.notes],
        "stop": [problem.as_json() for problem in answer.stops],
    }


def feed_json(
    tag: str, paths: Iterable[FeedPath], device_lines: dict[str, DeviceLine]
) -> dict[str, object]:
    """Return a feed answer as plain values."""
    return {
        "target": tag,
        "paths": [
            {
                "feed": path.feed,
                "standby": path.standby,
                "source": path.source,
                "devices": [
                    {"tag": device, "rating": device_lines[device].rating or None}
                    for device in path.devices
                ],
            }
            for path in paths
        ],
    }
