"""Where the locks go, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from recordgen.pages.lockout_values import IsolationAnswer, LockLine, WorkStep
from recordgen.pages.proven_values import Proven
from recordgen.pages.shortened import shortened
from recordgen.pages.wording import CAUTION, FEWEST, VERDICTS
from recordgen.pages.work_steps import lock_steps, restore_steps
from recordgen.terminal.downstream import summary
from recordgen.terminal.lines import (
    device_text,
    heading,
    listed,
    live_json,
    live_text,
    name,
    stops_text,
    wrap,
)
from recordgen.terminal.proven import proven_text

_LISTED = 20
"""How many of a long list the text shows; JSON has them all."""


def isolation_text(answer: IsolationAnswer, proven: Proven) -> Iterator[str]:
    """Yield the lines of an isolation answer."""
    target = answer.isolation.target
    home = target.home
    yield from stops_text(answer.stops)
    yield from wrap(f"To make {listed(target.tags, home)} dead ({target.kind})", "", "  ")
    yield from wrap(VERDICTS[answer.verdict], "  ")
    yield from _list((f"! {reason}" for reason in answer.reasons), len(answer.reasons))
    for source, devices in answer.acting:
        see = f": see what hangs on {listed(devices, home)}" if devices else ""
        text = (
            f"what goes dark when {name(source, home)} is switched off is not in the list of these "
            f"locks, and may be far more{see}"
        )
        yield from wrap(text, "  ", "    ")
    for tag, text in answer.remarks:
        yield from wrap(f"Note on {name(tag, home)}: {text}", "  ", "    ")
    for tag, text in answer.in_force:
        yield from wrap(f"A lock hangs there now: {name(tag, home)}, {text}", "  ", "    ")
    yield from heading("Open, lock and tag, in this order")
    for number, point in enumerate(answer.points, 1):
        yield from _point(number, point, home)
    if not answer.points:
        yield "  no lock point is recorded"
    yield from _proof(answer, home)
    yield from _fewest(answer, home)
    yield from heading("These locks darken")
    yield from wrap(summary(answer.dark), "  ")
    yield from proven_text(proven, home)
    yield from live_text(answer.still_live, home)
    yield from _remarks(answer, home)
    yield from heading("Order of work")
    yield from _steps(lock_steps(answer))
    yield from heading("Before energizing again")
    yield from _steps(restore_steps(answer))
    yield ""
    yield from wrap(CAUTION)


def _list(texts: Iterable[str], count: int) -> Iterator[str]:
    """Yield the first of some texts, each on a line of its own, and how many more there are."""
    found = shortened(texts, count, _LISTED)
    for text in found.items:
        yield from wrap(text, "  ", "    ")
    if found.rest:
        yield f"  {found.rest}"


def _point(number: int, point: LockLine, home: str) -> Iterator[str]:
    yield from wrap(f"{number}. {device_text(point.device, home)}", "  ", "     ")
    if point.device.present:
        yield f"     stands {point.device.present} now"
    if point.in_force:
        yield from wrap(f"a lock hangs there now: {point.in_force}", "     ", "       ")
    yield from wrap(f"lock hardware: {point.hardware}", "     ", "       ")
    for whose, note in point.notes:
        yield from wrap(f"note on {name(whose, home)}: {note}", "     ", "       ")
    if point.because:
        yield from wrap(f"{name(point.device.tag, home)}: {point.because}", "     ", "       ")
    way = " → ".join(name(node, home) for node in point.way)
    yield from wrap(f"breaks: {way}", "     ", "       ")


def _proof(answer: IsolationAnswer, home: str) -> Iterator[str]:
    yield from heading("Every source, and each lock that it meets")
    if answer.proof:
        several = "a source that meets several locks needs each of them"
        yield from wrap(several, "  ")
    for line in answer.proof:
        end = name(line.broken_by, home) if line.broken_by else "NOTHING"
        source = f"{name(line.source, home)}, {line.what}"
        yield from wrap(f"{source}: meets {end}", "  ", "    ")
        yield from wrap(" → ".join(name(node, home) for node in line.way), "      ", "        ")
    if not answer.proof:
        yield "  no source is recorded on any way to it"


def _fewest(answer: IsolationAnswer, home: str) -> Iterator[str]:
    fewest = answer.fewest
    if fewest is None:
        return
    yield from heading("Fewer locks, farther away: for planning only")
    yield from wrap(listed((line.tag for line in fewest.devices), home), "  ")
    found = shortened(fewest.darkens_more(), fewest.count, _LISTED)
    rest = f" {found.rest}" if found.rest else ""
    more = f"{fewest.count} more: {listed(found.items, home)}{rest}" if found else "nothing more"
    yield from wrap(f"darkens {more}", "  ", "    ")
    yield from wrap(FEWEST, "  ")


def _remarks(answer: IsolationAnswer, home: str) -> Iterator[str]:
    if answer.crossing:
        yield from heading("Passes through without belonging to it")
        for box, what in answer.crossing:
            yield from wrap(f"{name(box, home)}: {what}", "  ", "    ")
    if answer.elsewhere:
        yield from heading("Stands in another than its normal position")
        lines = (
            f"{name(line.tag, home)}: {line.position}"
            + (f"; a lock hangs there now: {line.in_force}" if line.in_force else "")
            for line in answer.elsewhere
        )
        yield from _list(lines, len(answer.elsewhere))
    if answer.temporary:
        yield from heading("Temporary feeds on a way to it")
        for way in answer.temporary:
            text = f"{name(way.feed, home)} → {name(way.owner, home)}, {way.text}"
            yield from wrap(text, "  ", "    ")
    if answer.passed:
        yield from heading("Nearer, but no point to lock")
        lines = (f"{name(device, home)}: {why}" for device, why in answer.passed)
        yield from _list(lines, len(answer.passed))
    if answer.notes:
        yield from heading("Nobody has recorded having looked")
        for note in answer.notes:
            yield from wrap(note, "  ", "    ")


def _steps(steps: Iterable[WorkStep]) -> Iterator[str]:
    for number, step in enumerate(steps, 1):
        yield from wrap(f"{number}. {step.text}", "  ", "     ")
        for detail in step.details:
            yield from wrap(f"- {detail}", "     ", "       ")


def isolation_json(answer: IsolationAnswer) -> dict[str, object]:
    """Return an isolation answer as plain values.

    `fewest` is the smallest set that isolates, for planning; the near set where that is as small,
    or where no set does.
    """
    found = answer.isolation
    tags = found.target.tags
    return {
        "target": tags[0] if len(tags) == 1 else [*tags],
        "isolable": answer.verdict,
        "points": [point.device for point in found.points],
        "fewest": [*found.fewest],
        "fewest_darkens": [*answer.fewest.darkens_more()] if answer.fewest else [],
        "sources": [*found.sources],
        "proof": [
            {"source": line.source, "way": [*line.way], "broken_by": line.broken_by}
            for line in answer.proof
        ],
        "loads_dark": [line.tag for line in answer.dark.loads if line.outcome == "dark"],
        "reasons": [*answer.reasons],
        "ways": {point.device.tag: [*point.way] for point in answer.points},
        "because": {p.device.tag: p.because for p in answer.points if p.because},
        "lock_hardware": {point.device.tag: point.hardware for point in answer.points},
        "lock_notes": {
            point.device.tag: [{"of": whose, "note": note} for whose, note in point.notes]
            for point in answer.points
            if point.notes
        },
        "notes": [{"of": whose, "note": note} for whose, note in answer.remarks],
        "unbroken": [[*way] for way in answer.ways],
        "passed": [{"device": device, "why": why} for device, why in answer.passed],
        "acts_by_itself": [
            {"tag": a.tag, "what": a.what, "remedy": a.remedy, "stopped": a.stopped}
            for a in answer.self_acting
        ],
        "not_in_normal_position": {line.tag: line.position for line in answer.elsewhere},
        "temporary_feeds": [
            {"feed": way.feed, "feeds": way.owner, "text": way.text} for way in answer.temporary
        ],
        "shutdown_darkens": {source: [*devices] for source, devices in answer.acting},
        "crossing": [{"enclosure": box, "what": what} for box, what in answer.crossing],
        "locks_in_force": dict(
            [
                *answer.in_force,
                *((p.device.tag, p.in_force) for p in answer.points if p.in_force),
            ]
        ),
        "test_points": [
            {"enclosure": line.enclosure, "at": line.at, "conductors": line.between}
            for line in answer.test_points
        ],
        "steps": _steps_json(lock_steps(answer)),
        "restore": _steps_json(restore_steps(answer)),
        "still_live": [live_json(line) for line in answer.still_live],
        "not_looked_for": [*answer.notes],
        "stop": [problem.as_json() for problem in answer.stops],
    }


def _steps_json(steps: Iterable[WorkStep]) -> list[dict[str, object]]:
    return [{"text": s.text, "details": [*s.details], "cites": s.cites} for s in steps]
