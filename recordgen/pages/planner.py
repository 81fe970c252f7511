"""Outage planner of a building: devices are picked, and the browser answers from data of the build.

The answer is that of `Answers.downstream`, worked out a second time by the scripts in
`recordgen/site/assets/`.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from recordgen.network.model import building_of
from recordgen.pages import paths
from recordgen.pages.page import DataFile, Heading, Page
from recordgen.pages.planner_data import as_script, planner_data
from recordgen.pages.view import View
from recordgen.pages.wording import CAUTIONS

TITLE = "Plan an outage"


def pages(view: View) -> Iterator[Page]:
    """Yield the outage planner of every building, each with the data of its building."""
    data = planner_data(view)
    for building in view.portfolio.buildings:
        yield _page(view, building, data)


def _page(view: View, building: str, data: Mapping[str, Any]) -> Page:
    own = data[building]
    together = own["together"]
    return view.page(
        paths.planner(building),
        TITLE,
        "planner.html",
        building=building,
        nav=TITLE,
        # The key follows what is worked out from the records, on the day that the site is of.
        depends_on=f"{view.network_digest(building)} {own['key']}",
        contents=[Heading(1, "top", TITLE)],
        scripts=(*map(paths.planner_data, together), *paths.PLANNER_SCRIPTS),
        files=(DataFile(paths.planner_data(building), as_script(own)),),
        context={
            "building": building,
            "together": [name for name in together if name != building],
            "key": own["key"],
            "links": json.dumps(paths.planner_links()),
            "present": any(data[name]["devices"]["present"] for name in together),
            "panels": [f"{building}:{tag}" for tag in view.loaded(building).records.panels],
            "devices": [
                tag
                for tag, device in view.network.devices.items()
                if building_of(tag) == building and device.kind != "circuit device"
            ],
            "cautions": CAUTIONS,
        },
    )
