"""Every path and anchor of the site, in one place, so that links cannot disagree."""

from __future__ import annotations

import hashlib
import re
from dataclasses import dataclass
from urllib.parse import quote

from recordgen.evidence.follow_run import PURPOSES as _FOLLOW
from recordgen.evidence.run_readings import PURPOSES as _LOCATE
from recordgen.network.model import building_of, local
from recordgen.records.positions import TAG_PATTERN

PORTFOLIO = "index.html"
ALL_FAULTS = "faults.html"
"""The fault history over all buildings."""
ALL_AUDIT = "audit.html"
"""The audit page over all buildings."""
ANSWER_SCRIPTS = tuple(
    f"assets/outage-{part}.js"
    for part in (
        "data",
        "network",
        "graph",
        "supply",
        "conductors",
        "redundancy",
        "live",
        "answer",
    )
)
"""The scripts that answer what happens when devices are opened, each after those it needs."""
PLANNER_SCRIPTS = (
    *ANSWER_SCRIPTS,
    "assets/outage-wording.js",
    "assets/outage-sheet.js",
    "assets/outage-planner.js",
)
"""The scripts of the outage planner, in the same order."""


_ALONG_A_RUN = frozenset((*_FOLLOW, *_LOCATE))
HOW_DECIDED = "outcomes.html"
"""The page of the guide that holds the decision table."""


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


def door_card(tag: str) -> str:
    """Return the path of the card for the door of a panel; `tag` is a full tag."""
    return f"{building_of(tag)}/door-card/{local(tag)}.html"


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


def fault(tag: str) -> str:
    """Return the path of a fault's page; `tag` is `building:FAULT`."""
    return f"{building_of(tag)}/faults/{local(tag)}.html"


def faults_at(tag: str) -> str:
    """Return the anchor that presets a panel or circuit (full tag) in a fault history's filter."""
    return f"at={tag}"


def fault_list(building_id: str = "") -> str:
    """Return the path of the file of faults of a building, or of all buildings."""
    return f"{building_id}/faults.csv" if building_id else "faults.csv"


def fault_steps(building_id: str = "") -> str:
    """Return the path of the file of what was done and measured, likewise."""
    return f"{building_id}/fault-steps.csv" if building_id else "fault-steps.csv"


def trace(tag: str) -> str:
    """Return the path of a trace's page; `tag` is `building:TRACE`."""
    return f"{building_of(tag)}/traces/{local(tag)}.html"


def run(tag: str) -> str:
    """Return the path of a run's page; `tag` is `building:RUN`."""
    return f"{building_of(tag)}/runs/{local(tag)}.html"


def record_anchor(tag: str) -> str:
    """Return the anchor of a cable, instrument or inspection on the page that lists its kind."""
    return f"record-{tag}"


def diagram_sheet(tag: str) -> str:
    """Return the anchor of the sheet of a one-line diagram that begins with a thing (full tag).

    Without a tag it is that of the first sheet.
    """
    return f"sheet-{local(tag)}" if tag else "sheet"


def worksheet(building_id: str, purpose: str, of: str = "") -> str:
    """Return the path of a blank to take along.

    `of` is the panel, run, fault or bundle it is made out for. One sheet of a run serves every
    purpose along it. The name of a bundle is free text, so that it may not do for a file.
    """
    name = ("along a run" if of and purpose in _ALONG_A_RUN else purpose).replace(" ", "-")
    if of and purpose == "sort a bundle":
        of = of.casefold()
        if not re.fullmatch(TAG_PATTERN, of):
            of = f"bundle-{hashlib.sha256(of.encode()).hexdigest()[:12]}"
    return f"{building_id}/worksheets/{name}{f'/{of}' if of else ''}.html"


def planner(building_id: str) -> str:
    """Return the path of a building's outage planner."""
    return f"{building_id}/planner.html"


def planner_choice(tag: str) -> str:
    """Return the anchor that presets a device (full tag) in its building's outage planner."""
    return f"open={local(tag)}"


def planner_data(building_id: str) -> str:
    """Return the path of the data that outage planners answer from about a building."""
    return f"{building_id}/planner-data.js"


def finder_data(building_id: str) -> str:
    """Return the path of the data that the finder of a building looks through."""
    return f"{building_id}/finder-data.js"


PRINT_CHECK = "assets/print-check.js"
"""The script that holds a print against its page; its data is loaded for an old print only."""


def print_link(path: str, revision: str, as_of: str) -> str:
    """Return the link from the top of the site that tells a page which print somebody holds.

    `=` and `,` stay as they are (RFC 3986 allows them there): the shorter, the coarser the code.
    """
    return f"{relative(path, '')}#print={revision},{as_of}"


def changes_data(building_id: str) -> str:
    """Return the path of the data that says what changed in a building, as far as it is dated."""
    return f"{building_id}/changes-data.js"


def labels(building_id: str, of: str, tag: str = "") -> str:
    """Return the path of a building's labels of one kind: of all, or of one panel (local tag)."""
    return f"{building_id}/labels/{of}{f'/{tag}' if tag else ''}.html"


FINDER = "find"
"""The anchor of the finder on a building's overview."""
FINDER_SCRIPTS = ("assets/minisearch.js", "assets/finder.js")
"""The scripts of the finder, in order; its data is loaded when somebody begins to type."""


def finder_links() -> dict[str, str]:
    """Return kind of link → the link on an overview, with `{building}` and the like in it."""
    any_tag = "{building}:{tag}"
    return {
        **planner_links(),
        "panel": f"../{panel(any_tag)}",
        "equipment": f"../{index('{building}', 'equipment')}#{{tag}}",
    }


def planner_links() -> dict[str, str]:
    """Return kind of link → the link on an outage planner, with `{building}` and the like in it."""
    any_tag = "{building}:{tag}"
    found = {
        "device": downstream(any_tag),
        "sheet": lockout(any_tag),
        "circuit": f"{panel(any_tag)}#{circuit_anchor('{position}')}",
        "room": room("{building}", "{room}"),
    }
    return {kind: f"../{path}" for kind, path in found.items()}


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
