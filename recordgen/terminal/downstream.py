"""What happens when devices are opened, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from recordgen.network.model import building_of, local
from recordgen.pages.answer_values import DownstreamAnswer, LeaningLine, LoadLine
from recordgen.pages.handle_ties import partner_text
from recordgen.pages.present_positions import PresentChange
from recordgen.pages.proven_values import Proven
from recordgen.pages.wording import CAUTION, outcome_text
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


def downstream_text(
    answer: DownstreamAnswer,
    change: PresentChange | None,
    partner_unknown: Iterable[str],
    proven: Proven,
) -> Iterator[str]:
    """Yield the lines of a downstream answer.

    Parameters
    ----------
    answer : DownstreamAnswer
    change : PresentChange or None
        What the present positions change of it.
    partner_unknown : iterable of str
        Opened devices whose handle opens another with it that is not recorded.
    proven : Proven
        How much of it is proven.
    """
    home = building_of(answer.opened[0].tag)
    yield from stops_text(answer.stops)
    if change is not None and answer.positions == "normal":
        yield from _change_text(change, home)
    opened = " + ".join(name(line.tag, home) for line in answer.opened)
    yield from wrap(f"Opening {opened} (from the {answer.positions} positions)", "", "  ")
    for device in answer.opened:
        yield from wrap(device_text(device, home), "  ", "    ")
    for device in answer.tied:
        text = f"opens too, handles tied: {device_text(device, home)}"
        yield from wrap(text, "  ", "    ")
    for tied in partner_unknown:
        yield from wrap(f"Warning: {partner_text(name(tied, home))}", "  ", "    ")
    yield ""
    yield from wrap(summary(answer))
    for line in answer.loads:
        yield from _load_text(line, home)
    if answer.leaning:
        yield from heading("Leans on what goes dark")
        for one in answer.leaning:
            yield from wrap(leaning_text(one, home), "  ", "    ")
    if answer.unknown_loads:
        yield from heading("Goes dark, loads not recorded")
        yield from wrap(listed(answer.unknown_loads, home), "  ")
    if answer.nowhere:
        yield from heading("Source not recorded: may go dark too")
        yield from wrap(listed(answer.nowhere, home), "  ")
    yield from proven_text(proven, home)
    yield from live_text(answer.still_live, home)
    yield from heading("Tell first")
    for notice in answer.notify:
        phone = f", {notice.phone}" if notice.phone else ""
        yield from wrap(f"{notice.role}{phone} ({notice.when})", "  ", "    ")
    if not answer.notify:
        yield "  nobody is recorded"
    yield ""
    yield from wrap(CAUTION)


def standing_text(change: PresentChange, home: str) -> str:
    """Return which switches stand otherwise."""
    each = ", ".join(f"{name(line.tag, home)} {line.present}" for line in change.devices)
    return f"Switches stand otherwise today ({each})"


def _change_text(change: PresentChange, home: str) -> Iterator[str]:
    more = counted(len(change.more), "more load")
    text = f"STOP: {standing_text(change, home)}: from the present positions {more} affected."
    yield from wrap(f"{text} Ask again with --present.", "", "      ")
    for outcome, lines in change.by_outcome():
        tags = listed((line.tag for line in lines), home)
        yield from wrap(f"{outcome} ({len(lines)}): {tags}", "      ", "        ")
    if change.unknown_loads:
        tags = listed(change.unknown_loads, home)
        yield from wrap(f"goes dark, loads not recorded: {tags}", "      ", "        ")
    for one in change.leaning:
        yield from wrap(leaning_text(one, home), "      ", "        ")
    if change.fewer:
        tags = listed((line.tag for line in change.fewer), home)
        text = f"affected only once the switches are set back ({len(change.fewer)}): {tags}"
        yield from wrap(text, "      ", "        ")
    yield ""


def counted(count: int, noun: str) -> str:
    """Return a count, its noun and the verb that goes with it."""
    return f"{count} {noun} is" if count == 1 else f"{count} {noun}s are"


def leaning_text(line: LeaningLine, home: str) -> str:
    """Return what may stop working although its feeds stay, and for want of what."""
    consequence = "may not start or carry" if line.is_source else "may stop working"
    return f"{name(line.tag, home)} ({line.what}) {consequence}: needs {listed(line.needs, home)}"


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
    yield from wrap(
        f"{mark}{name(line.tag, home)}{grave}: {what}{room} ({circuits}, {line.grade.name})",
        "  ",
        "    ",
    )
    yield from wrap(f"→ {outcome}", "      ", "        ")


def downstream_json(answer: DownstreamAnswer) -> dict[str, object]:
    """Return a downstream answer as plain values."""
    return {
        "opened": [local(line.tag) for line in answer.opened],
        "opens_too": [local(line.tag) for line in answer.tied],
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
        "leaning": [
            {"tag": one.tag, "is_source": one.is_source, "needs": [*one.needs]}
            for one in answer.leaning
        ],
        "circuits_with_unknown_loads": [*answer.unknown_loads],
        "loads_with_unknown_source": [*answer.nowhere],
        "still_live": [live_json(line) for line in answer.still_live],
        "notify": [
            {"role": n.role, "phone": n.phone or None, "when": n.when, "building": n.building}
            for n in answer.notify
        ],
        "stop": [problem.as_json() for problem in answer.stops],
    }


def warnings_json(
    answer: DownstreamAnswer, change: PresentChange | None, partner_unknown: Iterable[str]
) -> dict[str, object]:
    """Return as plain values what is said besides an answer."""
    otherwise = change if answer.positions == "normal" else None
    return {
        "from_present_positions": None if otherwise is None else _change_json(otherwise),
        "partner_of_tied_handle_unknown": [*partner_unknown],
    }


def _change_json(change: PresentChange) -> dict[str, object]:
    return {
        "stand_otherwise": {line.tag: line.present for line in change.devices},
        "more_loads": {line.tag: line.outcome for line in change.more},
        "other_outcome": {line.tag: line.outcome for line in change.otherwise},
        "fewer_loads": [line.tag for line in change.fewer],
        "circuits_with_unknown_loads": [*change.unknown_loads],
        "leaning": [one.tag for one in change.leaning],
    }
