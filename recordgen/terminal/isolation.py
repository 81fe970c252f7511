"""Where the locks go, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.network.model import building_of, local
from recordgen.pages.answer_values import IsolationAnswer
from recordgen.pages.wording import CAUTION, VERDICTS
from recordgen.terminal.downstream import summary
from recordgen.terminal.lines import (
    device_text,
    heading,
    live_json,
    live_text,
    name,
    stops_text,
    wrap,
)


def isolation_text(answer: IsolationAnswer) -> Iterator[str]:
    """Yield the lines of an isolation answer."""
    found = answer.isolation
    home = building_of(found.target.tags[0])
    yield from stops_text(answer.stops)
    yield f"To make {local(found.target.tags[0])} dead ({found.target.kind})"
    yield from wrap(VERDICTS[answer.verdict], "  ")
    for reason in answer.reasons:
        yield from wrap(f"! {reason}", "  ", "    ")
    yield from heading("Open, lock and tag")
    for number, point in enumerate(answer.points, 1):
        yield from wrap(f"{number}. {device_text(point.device, home)}", "  ", "     ")
        way = " → ".join(name(node, home) for node in point.way)
        yield from wrap(f"breaks: {way}", "     ", "       ")
    if not answer.points:
        yield "  no lock point is recorded"
    yield from heading("These locks darken")
    yield from wrap(summary(answer.dark), "  ")
    yield from live_text(answer.still_live, home)
    if answer.passed:
        yield from heading("Nearer, but no point to lock")
        for device, why in answer.passed:
            yield from wrap(f"{name(device, home)}: {why}", "  ", "    ")
    if answer.stored_energy:
        yield from heading("Stored energy")
        for tag, energy in answer.stored_energy:
            wait = energy.wait_min.written if energy.wait_min is not None else "not recorded"
            what = energy.what or energy.kind
            yield from wrap(f"{name(tag, home)}: {what}, wait {wait}", "  ", "    ")
    if answer.notes:
        yield from heading("Nobody has recorded having looked")
        for note in answer.notes:
            yield from wrap(note, "  ", "    ")
    yield ""
    yield from wrap(CAUTION)


def isolation_json(answer: IsolationAnswer) -> dict[str, object]:
    """Return an isolation answer as plain values.

    `fewest` is the smallest set known; here always the near set, which is sound.
    """
    found = answer.isolation
    points = [point.device for point in found.points]
    return {
        "target": found.target.tags[0],
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
        "still_live": [live_json(line) for line in answer.still_live],
        "not_looked_for": [*answer.notes],
        "stop": [problem.as_json() for problem in answer.stops],
    }
