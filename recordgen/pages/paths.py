"""Every path and anchor of the site, in one place, so that links cannot disagree."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from recordgen.network.model import building_of, local

PORTFOLIO = "index.html"


@dataclass(frozen=True)
class Link:
    """A text with the place it leads to, relative to its page."""

    text: str
    href: str


def building(building_id: str) -> str:
    """Return the path of a building's overview."""
    return f"{building_id}/index.html"


def index(building_id: str, name: str) -> str:
    """Return the path of one of a building's index pages, such as `faults` or `findings`."""
    return f"{building_id}/{name}.html"


def panel(tag: str) -> str:
    """Return the path of a panel's directory; `tag` is a full tag."""
    return f"{building_of(tag)}/panels/{local(tag)}.html"


def circuit_anchor(position: str) -> str:
    """Return the anchor of a circuit on its panel's page."""
    return f"position-{position}"


def downstream(tag: str) -> str:
    """Return the path of a device's downstream list; `tag` is a full tag."""
    return f"{building_of(tag)}/downstream/{local(tag)}.html"


def notice(tag: str) -> str:
    """Return the path of the outage notice of a device; `tag` is a full tag."""
    return f"{building_of(tag)}/notice/{local(tag)}.html"


def lockout(tag: str) -> str:
    """Return the path of the lockout sheet of a panel, circuit, equipment or load (full tag)."""
    return f"{building_of(tag)}/lockout/{local(tag)}.html"


def room(building_id: str, room_id: str) -> str:
    """Return the path of a room's page."""
    return f"{building_id}/rooms/{room_id}.html"


def relative(target: str, page: str, anchor: str = "") -> str:
    """Return the link from one page of the site to another, or to an anchor on it."""
    href = "" if target == page else quote(_from_folder(page.split("/")[:-1], target.split("/")))
    return href + (f"#{quote(anchor)}" if anchor else "")


def _from_folder(folder: list[str], target: list[str]) -> str:
    # `posixpath.relpath` would ask the system for the current folder each time.
    shared = 0
    for here, there in zip(folder, target[:-1], strict=False):
        if here != there:
            break
        shared += 1
    return "../" * (len(folder) - shared) + "/".join(target[shared:])
