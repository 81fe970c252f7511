"""The building itself, its rooms, and the whole of a building's records."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from recordgen.records.base import OneOrMany, Record, Text, YesNo
from recordgen.records.equipment import Equipment, EquipmentField
from recordgen.records.field import Cable, Fault, Inspection, Instrument, Run, Trace
from recordgen.records.positions import Tag
from recordgen.records.quantities import Days
from recordgen.records.supply import Load, Panel, Source


class Contact(Record):
    """Who is told before an outage: a role, never a person's name."""

    role: Text
    phone: Text | None = None
    when: Text | None = None


class Building(Record):
    """The building and who keeps its records."""

    name: Text
    use: Text | None = None
    occupancy: Literal["dwelling", "hotel", "warehouse", "hospital", "other"] | None = Field(
        None, description="which demand factors of the electrical code apply"
    )
    heating_with_cooling: YesNo | None = Field(
        None, description="whether electric heating and cooling ever run together"
    )
    code_edition: Text | None = Field(None, description="electrical code and edition in force")
    record_owner: Text | None = Field(None, description="a role")
    notify: tuple[Contact, ...] = ()
    floors: Annotated[tuple[Text, ...], OneOrMany] = ()
    evidence_valid_days: Days | None = Field(None, alias="evidence_valid_for")
    notes: Text | None = None


RoomLocation = Literal[
    "bathroom",
    "kitchen",
    "rooftop",
    "outdoors",
    "sink",
    "wet",
    "damp",
    "locker room",
    "garage",
    "unfinished basement",
    "laundry",
]
"""Places that the electrical code has rules for receptacles in."""


class Room(Record):
    """A room; rooms are how people search."""

    name: Text | None = None
    floor: Text | None = None
    location: Annotated[tuple[RoomLocation, ...], OneOrMany] = Field(
        (),
        description="what counts for receptacles there; `sink`: all within 6 ft of one",
    )
    directions: Text | None = None
    key: Text | None = None
    notes: Text | None = None


def _room_from_text(value: Any) -> Any:
    return {"name": value} if isinstance(value, str) else value


RoomField = Annotated[
    Room, BeforeValidator(_room_from_text, json_schema_input_type=Text | Room | None)
]

Section = Literal[
    "rooms",
    "sources",
    "panels",
    "equipment",
    "loads",
    "cables",
    "runs",
    "traces",
    "faults",
    "instruments",
    "inspections",
]


def _section(description: str) -> Any:
    return Field(default_factory=dict, description=description)


class BuildingRecords(Record):
    """The records of one building, by section and by tag, in the order of the files."""

    building: Building
    rooms: dict[Tag, RoomField] = _section("rooms by number or short name")
    sources: dict[Tag, Source] = _section("what brings voltage in, by tag")
    panels: dict[Tag, Panel] = _section("panels and their circuits, by tag")
    equipment: dict[Tag, EquipmentField] = _section(
        "transformers, transfer switches, disconnects and the like, by tag"
    )
    loads: dict[Tag, Load] = _section("loads that say themselves what feeds them, by tag")
    cables: dict[Tag, Cable] = _section("low-voltage and communication cables, by tag")
    runs: dict[Tag, Run] = _section("routes of circuits and cables, by tag")
    traces: dict[Tag, Trace] = _section("what instruments showed, by number")
    faults: dict[Tag, Fault] = _section("faults and what was done about them, by number")
    instruments: dict[Tag, Instrument] = _section("measuring instruments, by tag")
    inspections: dict[Tag, Inspection] = _section("periodic inspections, by number")


__all__ = ["Building", "BuildingRecords", "Contact", "Equipment", "Room", "Section"]
