"""Readings at places that the records do not have, or in an order that no walk gives.

Passing: `at: 30 ft`
Failing: `at: 300 ft`

Both are a reading along a run of 90 ft. A place is a distance or a landmark along a run, a panel or
a breaker where a breaker was looked for, a cable where a bundle was sorted; the loads that a trace
lists downstream may be read anywhere. A reading whose place is not known counts for nothing.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from recordgen.checks.facts import Facts
from recordgen.evidence.concerned import concerned
from recordgen.evidence.run_places import length_m, place_m
from recordgen.network.references import circuit_at
from recordgen.problems import Problem, Severity
from recordgen.records.field import Run, Trace
from recordgen.records.loader import LoadedBuilding
from recordgen.records.messages import closest
from recordgen.records.positions import read_reference

# The end of a run is read to the inch; a hair more is the last bit of a converted number.
_HAIR_M = 1e-6
_FEET = ("ft", "in")


@dataclass(frozen=True)
class _Wrong:
    """What is wrong with one place: `keys` lead to it from the trace."""

    code: str
    message: str
    hint: str
    keys: tuple[str | int, ...]
    severity: Severity = "warning"


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a finding for the places in a trace that one hint mends, a note where it looks odd."""
    for loaded in facts.buildings.values():
        for tag, trace in loaded.records.traces.items():
            found: dict[tuple[str, str], list[_Wrong]] = {}
            for wrong in _wrong_places(facts, loaded, trace):
                found.setdefault((wrong.code, wrong.hint), []).append(wrong)
            for (code, hint), several in found.items():
                places = [loaded.where("traces", tag, *wrong.keys) for wrong in several]
                yield Problem(
                    several[0].severity,
                    code,
                    f"{tag}: {'; '.join(dict.fromkeys(wrong.message for wrong in several))}",
                    places[0],
                    hint,
                    related=tuple(places[1:]),
                    subjects=concerned(facts.buildings, loaded, trace),
                )


def _wrong_places(facts: Facts, loaded: LoadedBuilding, trace: Trace) -> Iterator[_Wrong]:
    if trace.purpose == "identify the breaker":
        yield from _at_panels(facts, loaded, trace)
    elif trace.purpose == "sort a bundle":
        yield from _at_cables(loaded, trace)
    elif trace.purpose != "list what is downstream":
        run = loaded.records.runs.get(trace.run) if trace.run else None
        for place, keys in _along(trace):
            yield from _on_run(place, keys, run)
        yield from _in_order(trace, run)


def _along(trace: Trace) -> Iterator[tuple[str, tuple[str | int, ...]]]:
    """Yield every place along a run that a trace names, with the keys down to it."""
    for index, reading in enumerate(trace.readings):
        yield reading.at, ("readings", index, "at")
    if trace.transmitter_at is not None:
        yield trace.transmitter_at, ("transmitter_at",)
    if trace.echo is not None and trace.echo.from_ is not None:
        yield trace.echo.from_, ("echo", "from")
    if trace.bridge is not None and trace.bridge.from_ is not None:
        yield trace.bridge.from_, ("bridge", "from")


def _on_run(place: str, keys: tuple[str | int, ...], run: Run | None) -> Iterator[_Wrong]:
    at_m = place_m(place, run)
    landmarks = run.landmarks if run else ()
    if at_m is not None:
        ends = [float(mark.at_m) for mark in landmarks if mark.at_m is not None]
        if len(ends) > 1 and not min(ends) - _HAIR_M <= at_m <= max(ends) + _HAIR_M:
            yield _Wrong(
                "beyond-the-run",
                f"{place} lies beyond the run as recorded",
                "correct the distance, or the landmarks of the run",
                keys,
            )
        return
    if run is None:
        yield _Wrong(
            "place-not-known",
            f'where "{place}" is cannot be told without a run',
            "name the run in `run`, or write the distance",
            keys,
        )
        return
    words = [mark.what for mark in landmarks]
    same = [what for what in words if what.casefold().split() == place.casefold().split()]
    if not same:
        yield _Wrong(
            "no-such-landmark",
            f'the run has no landmark "{place}"',
            closest(place, words) or "write a landmark in the words of the run, or the distance",
            keys,
        )
    else:
        several = "is several landmarks of the run" if len(same) > 1 else "has no distance"
        yield _Wrong(
            "place-not-known",
            f'"{place}" {several}',
            "write the distance",
            keys,
        )


def _in_order(trace: Trace, run: Run | None) -> Iterator[_Wrong]:
    """Yield what is odd about readings one after the other: turned back, or two units of length."""
    placed = [(index, place_m(reading.at, run)) for index, reading in enumerate(trace.readings)]
    known = [(index, at_m) for index, at_m in placed if at_m is not None]
    if len(known) > 1:
        way = known[-1][1] - known[0][1]
        back = (
            index for (_, before), (index, after) in pairwise(known) if (after - before) * way < 0
        )
        index = next(back, None)
        if index is not None:
            yield _Wrong(
                "reading-order",
                f"the reading at {trace.readings[index].at} is out of order along the run",
                "look whether the distance is right; write the readings in the order of the run",
                ("readings", index, "at"),
                "note",
            )
    units = [
        (index, reading.at.strip().casefold().endswith(_FEET))
        for index, reading in enumerate(trace.readings)
        if length_m(reading.at) is not None
    ]
    other = next((index for index, feet in units if feet != units[0][1]), None)
    if other is not None:
        first = trace.readings[units[0][0]].at
        yield _Wrong(
            "places-in-two-units",
            f"distances are written in feet and in metres: {first}, {trace.readings[other].at}",
            "look whether one of them is a slip, and write all in one unit",
            ("readings", other, "at"),
            "note",
        )


def _at_panels(facts: Facts, loaded: LoadedBuilding, trace: Trace) -> Iterator[_Wrong]:
    for index, reading in enumerate(trace.readings):
        keys = ("readings", index, "at")
        try:
            reference = read_reference(reading.at)
        except ValueError:
            hint = "write a panel, or a breaker as PANEL/POSITION"
            yield _Wrong("no-such-breaker", f'"{reading.at}" is no panel or breaker', hint, keys)
            continue
        there = facts.buildings.get(reference.building or loaded.id)
        panels = there.records.panels if there is not None else {}
        panel = panels.get(reference.tag)
        if panel is None:
            hint = closest(reference.tag, panels) or "define the panel, or correct the name"
            yield _Wrong("no-such-breaker", f'"{reading.at}" is not recorded', hint, keys)
        elif reference.port not in (None, "main") and not circuit_at(panel, reference.port or ""):
            hint = "record the circuit, even if what it feeds is unknown, or correct the position"
            yield _Wrong(
                "no-such-breaker",
                f'{reference.tag} has no circuit "{reference.port}"',
                hint,
                keys,
            )


def _at_cables(loaded: LoadedBuilding, trace: Trace) -> Iterator[_Wrong]:
    cables = loaded.records.cables
    bundle = cables[trace.cable].bundle if trace.cable else None
    for index, reading in enumerate(trace.readings):
        keys = ("readings", index, "at")
        cable = cables.get(reading.at)
        if cable is None:
            hint = closest(reading.at, cables) or "add it to `cables`, even without its ends"
            yield _Wrong("no-such-cable", f'there is no cable "{reading.at}"', hint, keys)
        elif bundle is not None and cable.bundle is not None and cable.bundle != bundle:
            yield _Wrong(
                "other-bundle",
                f"{reading.at} is recorded in bundle {cable.bundle}, and {trace.cable} in {bundle}",
                "correct the bundle of one of them, or the reading",
                keys,
                "note",
            )
