"""What changed in a building since a print was made, as far as the records are dated.

The page of an old print loads it (`recordgen/site/assets/print-check.js`), and no other page does.
"""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.evidence.changes import Change
from recordgen.pages import paths
from recordgen.pages.data_script import data_script
from recordgen.pages.page import DataFile
from recordgen.pages.view import View


def changes_file(view: View, building: str) -> DataFile:
    """Return the file of a building's dated changes, the latest first.

    It names the buildings that hang together with it: what changed there may be why a sheet of
    this building is another one now.
    """
    data = {
        "building": building,
        "name": view.building_name(building),
        "with": [name for name in view.connected[building] if name != building],
        "changes": list(_lines(view, building)),
    }
    return DataFile(paths.changes_data(building), data_script("changesData", data))


def _lines(view: View, building: str) -> Iterator[list[object]]:
    for change in view.changes_of.get(building, ()):
        link = _page_of(change)
        yield [change.date.isoformat(), change.record, change.what, change.by, change.about, link]


def _page_of(change: Change) -> str:
    """Return the link from the top of the site to the record of a change; empty without a page."""
    full = f"{change.building}:{change.record}"
    match change.section:
        case "traces":
            return paths.relative(paths.trace(full), "")
        case "faults":
            return paths.relative(paths.fault(full), "")
        case "panels":
            return paths.relative(paths.panel(full), "")
        case "inspections" | "instruments":
            path = paths.index(change.building, change.section)
            return paths.relative(path, "", paths.record_anchor(change.record))
    return ""
