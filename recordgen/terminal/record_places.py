"""Where readings of a trace may be taken: breakers, landmarks of a run, cables, loads."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from recordgen.evidence.run_places import length_m
from recordgen.network.references import circuit_at
from recordgen.records.field import Landmark, Run, Trace
from recordgen.records.messages import closest
from recordgen.records.positions import read_reference
from recordgen.records.quantities import shown
from recordgen.terminal.record_names import Names, circuits_hint
from recordgen.terminal.record_questions import Wrong
from recordgen.terminal.record_readings import Line, Places
from recordgen.terminal.record_subjects import described


def places_of(names: Names, trace: Trace) -> Places:
    """Return where the readings of a trace are taken, by its purpose."""
    match trace.purpose:
        case "identify the breaker":
            return _breakers(names)
        case "sort a bundle":
            return _tags(names, "cables", "C-216-03 88 s2")
        case "list what is downstream":
            return _tags(names, "loads", "R-104 71 s4")
        case _:
            run = names.known("runs").get(trace.run) if trace.run else None
            return _along(run)


def landmark_lines(run: Run) -> tuple[str, ...]:
    """Return the landmarks with their numbers, as they may be chosen."""
    return tuple(
        f"{number:2} {_distance(mark)}{mark.what}" for number, mark in enumerate(run.landmarks, 1)
    )


def place_on(run: Run | None, text: str) -> str:
    """Return a place along a run as readings name it: a distance, or the words of a landmark.

    Parameters
    ----------
    run : Run or None
    text : str
        A distance, a landmark's words or its number.

    Raises
    ------
    Wrong
        Where no reading could be placed by it; with the text to keep.
    """
    marks = run.landmarks if run else ()
    if text.isdecimal():
        if 1 <= int(text) <= len(marks):
            return _words_of(marks[int(text) - 1], marks)
        hint = "write a distance with its unit, like 30 ft"
        there = f"there is no landmark {text}" if marks else f'"{text}" has no unit'
        raise Wrong(there, hint)
    if length_m(text) is not None:
        return _distance_on(marks, text)
    same = [mark for mark in marks if mark.what.casefold() == text.casefold()]
    if same:
        return _words_of(same[0], marks)
    hint = "write a distance, like 30 ft" + (", or a landmark's number" if marks else "")
    hint = closest(text, [mark.what for mark in marks]) or hint
    raise Wrong(f"{shown(text)} is no landmark of the run", hint, keep=text)


def _along(run: Run | None) -> Places:
    marks = run.landmarks if run else ()

    def known(text: str) -> bool:
        if text.isdecimal():
            return 1 <= int(text) <= len(marks)
        words = [mark.what.casefold() for mark in marks]
        return length_m(text) is not None or text.casefold() in words

    def named(text: str, before: list[Line]) -> str:
        found = place_on(run, text)
        units = {_unit(line["at"]) for line in before} - {None}
        if units and _unit(found) not in {None, *units}:
            earlier = " and ".join(sorted(str(unit) for unit in units))
            raise Wrong(f"{found}, where the readings above are in {earlier}", keep=found)
        return found

    listed = landmark_lines(run) if run else ()
    example = "3 78 s4, or 30 ft 78 s4" if marks else "30 ft 78 s4"
    return Places(known, named, example, turned=False, listed=listed, choices=lambda: listed)


def _words_of(mark: Landmark, marks: tuple[Landmark, ...]) -> str:
    # Two of the same words cannot be told apart again: their distances can.
    twins = [one for one in marks if one.what.casefold() == mark.what.casefold()]
    if len(twins) > 1 and mark.at_m is not None:
        return str(mark.at_m)
    return mark.what


def _distance_on(marks: tuple[Landmark, ...], text: str) -> str:
    at_m = length_m(text) or 0.0
    ends = [float(mark.at_m) for mark in marks if mark.at_m is not None]
    if ends and not min(ends) <= at_m <= max(ends):
        far = max((mark for mark in marks if mark.at_m is not None), key=lambda m: m.at_m or 0.0)
        raise Wrong(f"{text} lies beyond the run, which ends at {far.at_m}", keep=text)
    return text


def _distance(mark: Landmark) -> str:
    return f"{mark.at_m}  " if mark.at_m is not None else "distance not recorded  "


def _unit(text: str) -> str | None:
    return text.lstrip("0123456789.,+- ").lower() if length_m(text) is not None else None


def _breakers(names: Names) -> Places:
    panels = names.portfolio.buildings

    def known(text: str) -> bool:
        return not text.isdecimal() and _is_reference(text)

    def named(text: str, before: list[Line]) -> str:
        if text.startswith("/"):
            text = _panel_above(before) + text
        reference = read_reference(text) if _is_reference(text) else None
        if reference is None:
            raise Wrong(f"{shown(text)} is no panel or breaker", "write it like LP-1 or LP-1/14")
        here = panels.get(reference.building or names.loaded.id, names.loaded).records.panels
        tag = next((tag for tag in here if tag.lower() == reference.tag.lower()), None)
        if tag is None:
            hint = closest(reference.tag, here) or f"there are: {', '.join(here)}"
            raise Wrong(f'there is no panel "{reference.tag}"', hint, keep=text)
        found = replace(reference, tag=tag)
        if reference.port is None:
            return str(found)
        position = circuit_at(here[tag], reference.port.upper())
        if position is None:
            hint = circuits_hint(here[tag])
            raise Wrong(f'{tag} has no breaker "{reference.port}"', hint, keep=str(found))
        return str(replace(found, port=str(position)) if len(position.slots) == 1 else found)

    example = "LP-1/14 86 79 74 s4"
    return Places(known, named, example, turned=True, choices=names.circuits)


def _is_reference(text: str) -> bool:
    try:
        read_reference(text)
    except ValueError:
        return text.startswith("/")
    return True


def _panel_above(before: list[Line]) -> str:
    if not before:
        raise Wrong("no panel stands above this line", "write it like LP-1/14")
    return str(before[-1]["at"]).partition("/")[0]


def _tags(names: Names, section: str, example: str) -> Places:
    records = names.known(section)
    tags = {tag.lower(): tag for tag in records}

    def named(text: str, before: list[Line]) -> str:  # noqa: ARG001  # all kinds take the same
        if text.lower() in tags:
            return tags[text.lower()]
        one = section.removesuffix("s")
        hint = closest(text, tags.values()) or f"?WORD searches {names.loaded.id}"
        raise Wrong(f"there is no {one} {shown(text)}", hint, keep=text)

    def choices() -> Iterator[str]:
        yield from (f"{tag}  {described(record)}" for tag, record in records.items())

    return Places(lambda text: text.lower() in tags, named, example, turned=True, choices=choices)
