"""The building itself, its rooms, and the whole of a building's records."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from recordgen.records.base import OneOrMany, Record, Text
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
    code_edition: Text | None = Field(None, description="electrical code and edition in force")
    record_owner: Text | None = Field(None, description="a role")
    notify: tuple[Contact, ...] = ()
    floors: Annotated[tuple[Text, ...], OneOrMany] = ()
    evidence_valid_days: Days | None = Field(None, alias="evidence_valid_for")
    notes: Text | None = None


class Room(Record):
    """A room; rooms are how people search."""

    name: Text | None = None
    floor: Text | None = None
    directions: Text | None = None
    key: Text | None = None
    notes: Text | None = None


def _room_from_text(value: Any) -> Any:
    return {"name": value} if isinstance(value, str) else value


RoomField = Annotated[Room, BeforeValidator(_room_from_text, json_schema_input_type=str | Room)]

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


class BuildingRecords(Record):
    """Everything recorded of one building: each section is a dict, tag → record, in file order."""

    building: Building
    rooms: dict[Tag, RoomField] = Field(default_factory=dict)
    sources: dict[Tag, Source] = Field(default_factory=dict)
    panels: dict[Tag, Panel] = Field(default_factory=dict)
    equipment: dict[Tag, EquipmentField] = Field(default_factory=dict)
    loads: dict[Tag, Load] = Field(default_factory=dict)
    cables: dict[Tag, Cable] = Field(default_factory=dict)
    runs: dict[Tag, Run] = Field(default_factory=dict)
    traces: dict[Tag, Trace] = Field(default_factory=dict)
    faults: dict[Tag, Fault] = Field(default_factory=dict)
    instruments: dict[Tag, Instrument] = Field(default_factory=dict)
    inspections: dict[Tag, Inspection] = Field(default_factory=dict)


__all__ = ["Building", "BuildingRecords", "Contact", "Equipment", "Room", "Section"]
