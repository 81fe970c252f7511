"""Lines of text that all answers are made of."""

from __future__ import annotations

import textwrap
from collections.abc import Iterable, Iterator
from typing import Any

from recordgen.network.model import building_of, local
from recordgen.pages.answer_values import DeviceLine, LiveLine

WIDTH = 80


def wrap(text: str, indent: str = "", hanging: str | None = None) -> Iterator[str]:
    """Yield a text in lines of 80 columns at most, words unbroken."""
    yield from textwrap.wrap(
        text,
        WIDTH,
        initial_indent=indent,
        subsequent_indent=indent if hanging is None else hanging,
        break_long_words=False,
        break_on_hyphens=False,
    )


def heading(text: str) -> Iterator[str]:
    """Yield an empty line and a heading."""
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


def listed(tags: Iterable[str], home: str) -> str:
    """Return full tags in one line, as people of a building say them."""
    return ", ".join(name(tag, home) for tag in tags)


def live_text(lines: Iterable[LiveLine], home: str) -> Iterator[str]:
    """Yield what stays live."""
    yield from heading("Stays live")
    found = False
    for line in lines:
        found = True
        source = f", at least from {listed(line.sources, home)}" if line.sources else ""
        yield from wrap(f"{name(line.enclosure, home)}: {line.what}{source}", "  ", "    ")
    if not found:
        yield "  nothing recorded in the same enclosures"


def stops_text(problems: Iterable[Any]) -> Iterator[str]:
    """Yield the notices that say STOP, first of all."""
    for problem in problems:
        yield from wrap(f"STOP: {problem.message} ({problem.location})", "", "      ")
    if problems:
        yield ""


def live_json(line: LiveLine) -> dict[str, object]:
    """Return what stays live as plain values."""
    return {
        "enclosure": line.enclosure,
        "what": line.what,
        "sources": [*line.sources],
    }
