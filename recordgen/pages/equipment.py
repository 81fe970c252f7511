"""Sources and equipment of a building, each with everything recorded and its sheets."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from recordgen.pages import paths
from recordgen.pages.calculated import Shown, shown_together
from recordgen.pages.describe import Fact, facts
from recordgen.pages.element_values import asked_of
from recordgen.pages.page import Heading, Page
from recordgen.pages.view import View
from recordgen.pages.wording import SCREENING
from recordgen.problems import Problem


@dataclass(frozen=True)
class Card:
    """A source, a piece of equipment or a load with feeds of its own.

    `has_list` says whether opening or switching it has a downstream list.
    """

    tag: str
    anchor: str
    title: str
    facts: tuple[Fact, ...]
    values: tuple[Shown, ...]
    feeds: tuple[str, ...]
    has_list: bool
    problems: tuple[Problem, ...]


def pages(view: View) -> Iterator[Page]:
    """Yield the equipment page of every building."""
    for building, loaded in view.portfolio.buildings.items():
        records = loaded.records
        title = f"Sources and equipment: {records.building.name}"
        yield view.page(
            paths.index(building, "equipment"),
            title,
            "equipment.html",
            building=building,
            nav="Sources and equipment",
            searched=True,
            contents=[
                Heading(1, "top", title),
                Heading(2, "sources", "Sources"),
                Heading(2, "equipment", "Equipment"),
                Heading(2, "loads", "Loads with feeds of their own"),
            ],
            depends_on=view.network_digest(building),
            context={
                "screening": SCREENING,
                "sources": [
                    _card(view, f"{building}:{tag}", facts(record, always=("rating_va", "room")))
                    for tag, record in records.sources.items()
                ],
                "equipment": [
                    _card(view, f"{building}:{tag}", facts(record, always=("room",)))
                    for tag, record in records.equipment.items()
                ],
                "loads": [
                    _card(view, f"{building}:{tag}", facts(record, always=("fed_from", "room")))
                    for tag, record in records.loads.items()
                ],
            },
        )


def _card(view: View, tag: str, known: tuple[Fact, ...]) -> Card:
    study = view.portfolio.study
    anchor = tag.partition(":")[2]
    return Card(
        tag=tag,
        anchor=anchor,
        title=anchor,
        facts=known,
        values=shown_together(view, asked_of(study, tag), tag)
        if tag in study.distribution.elements
        else (),
        feeds=tuple(view.network.fed_by.get(tag, ())),
        has_list=tag in view.network.devices,
        problems=tuple(view.problems([tag])),
    )
