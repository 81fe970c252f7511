"""Parts that several records have: how to get there, devices, conductors, labels, stored energy."""

from __future__ import annotations

import re
import typing
from typing import Annotated, Any, Final, Literal

from pydantic import BeforeValidator, Field

from recordgen.records.base import CountAboveZero, Date, OneOrMany, Record, Text, YesNo
from recordgen.records.conductor_size import Size
from recordgen.records.json_patterns import amount, text_schema
from recordgen.records.positions import Ref, Tag
from recordgen.records.quantities import (
    Amperes,
    Celsius,
    IncidentEnergy,
    InterruptingAmperes,
    Metres,
    Minutes,
    Volts,
)

Roles = Annotated[tuple[Text, ...], OneOrMany]
DeviceKind = Literal[
    "breaker",
    "GFCI breaker",
    "AFCI breaker",
    "dual-function breaker",
    "GFPE breaker",
    "fuse",
    "fused switch",
    "switch",
    "contactor",
    "cord and plug",
]
Branch = Literal["life safety", "critical", "equipment", "normal"]
Criticality = Literal["life safety", "critical", "important", "routine"]

_NO_LOCKING: Final = frozenset({"contactor"})
_SHORT_KINDS: Final = {
    "GFCI": "GFCI breaker",
    "AFCI": "AFCI breaker",
    "GFPE": "GFPE breaker",
}


class Placed(Record):
    """How to get to a thing, and what else has been painted on it."""

    room: Text | None = None
    directions: Text | None = None
    key: Text | None = Field(None, description="which key or badge opens the way")
    height: Metres | None = None
    former_names: Annotated[tuple[Text, ...], OneOrMany] = ()
    notes: Text | None = None


class LockInForce(Record):
    """A lock and tag that hangs now."""

    since: Date
    by: Text
    reason: Text | None = None
    lock: Text | None = Field(None, description="number on the lock or tag")


class Present(Record):
    """Where a device stands now, where that differs from its normal state."""

    position: Literal["open", "closed", "normal", "emergency", "bypass"]
    since: Date
    by: Text | None = None
    reason: Text | None = None


class TemporaryFeed(Record):
    """A feed that is not meant to stay: it counts as a source path while it is recorded."""

    fed_from: Ref
    since: Date
    until: Date | None = None
    by: Text | None = None
    reason: Text | None = None


class StoredEnergy(Record):
    """Energy that stays after every device is open."""

    kind: Literal[
        "capacitor",
        "DC bus",
        "battery",
        "spring",
        "pneumatic",
        "hydraulic",
        "gravity",
        "thermal",
        "rotating mass",
        "other",
    ]
    what: Text | None = None
    discharge: Text | None = None
    wait_min: Minutes | None = Field(None, alias="wait")
    verify: Text | None = None


class ArcFlashLabel(Record):
    """Label data as recorded; none of it is ever calculated here."""

    study_date: Date | None = None
    review_due: Date | None = None
    nominal_v: Volts | None = Field(None, alias="nominal_voltage")
    incident_energy_cal_cm2: IncidentEnergy | None = Field(None, alias="incident_energy")
    working_distance_m: Metres | None = Field(None, alias="working_distance")
    arc_flash_boundary_m: Metres | None = Field(None, alias="arc_flash_boundary")
    limited_approach_m: Metres | None = Field(None, alias="limited_approach")
    restricted_approach_m: Metres | None = Field(None, alias="restricted_approach")
    ppe: Text | None = None
    glove_class: Text | None = None
    prepared_by: Text | None = None


class Grounding(Record):
    """System grounding, and where neutral and ground are bonded."""

    system: Literal[
        "solidly grounded",
        "corner grounded",
        "resistance grounded",
        "reactance grounded",
        "ungrounded",
        "isolated",
    ]
    bonded_at: Text | None = None


class Conductors(Record):
    """A set of conductors of one circuit or feeder."""

    size: Size | None = None
    insulation: Text | None = None
    parallel: CountAboveZero | None = Field(None, description="sets in parallel")
    neutral: Size | None = None
    ground: Size | None = None
    raceway: Text | None = None
    length_m: Metres | None = Field(None, alias="length")
    terminal_c: Celsius | None = Field(None, alias="terminals")
    ambient_c: Celsius | None = Field(None, alias="ambient")


def _conductors_from_text(value: Any) -> Any:
    return {"size": value} if isinstance(value, str) else value


ConductorsField = Annotated[
    Conductors,
    BeforeValidator(_conductors_from_text, json_schema_input_type=Size | Conductors),
]


class Device(Record):
    """An overcurrent or switching device.

    Where `lockable` is not recorded, the device counts as one that cannot be locked.
    """

    kind: DeviceKind = "breaker"
    rating_a: Amperes | None = Field(None, alias="rating")
    poles: CountAboveZero | None = None
    frame_a: Amperes | None = Field(None, alias="frame")
    interrupting_a: InterruptingAmperes | None = Field(None, alias="interrupting_rating")
    series_rating: Text | None = None
    fuse_class: Text | None = None
    trip: Text | None = Field(None, description="trip unit and its settings")
    handle: Literal["common trip", "handle tie", "independent"] | None = None
    lockable: YesNo | None = None
    lock_hardware: Text | None = None
    electrically_operated: YesNo | None = None
    draw_out: YesNo | None = None
    condition: Text | None = Field(None, description="maintenance condition")

    @property
    def locks_open(self) -> bool | None:
        """Whether it isolates and can be locked open; None where that is not recorded.

        An electrically operated device can reclose: it counts only where it can be racked out.
        """
        if self.kind in _NO_LOCKING:
            return False
        if self.electrically_operated and not self.draw_out:
            return False
        return self.lockable


def _device_from_text(value: Any) -> Any:
    """Read the short form `20 A`, `20 A GFCI breaker`, `30 A fuse`."""
    if not isinstance(value, str):
        return value
    words = value.split()
    # "20A" written without a space is one word, "20 A" two.
    length = 1 if re.fullmatch(r"[\d.,]+k?A", words[0] if words else "") else 2
    rating, kind = " ".join(words[:length]), " ".join(words[length:])
    found = {"rating": rating}
    return found | {"kind": _SHORT_KINDS.get(kind, kind)} if kind else found


DeviceText = Annotated[
    str,
    text_schema(
        amount(("A", "kA", "mA"), fixed=("mA",))
        + rf"(?:\s+(?:{'|'.join((*typing.get_args(DeviceKind), *_SHORT_KINDS))}))?",
        description="the rating of a breaker, or a rating and a kind of device",
        examples=["20 A", "20 A GFCI breaker"],
    ),
]
DeviceField = Annotated[
    Device, BeforeValidator(_device_from_text, json_schema_input_type=DeviceText | Device)
]


class LocalDisconnect(Record):
    """A disconnecting means at the load itself."""

    kind: Literal["switch", "fused switch", "breaker", "cord and plug", "pullout"] = "switch"
    rating_a: Amperes | None = Field(None, alias="rating")
    lockable: YesNo | None = None
    room: Text | None = None
    directions: Text | None = None
    notes: Text | None = None


class Checked(Record):
    """That somebody looked, when, and what was seen; a sheet may then lean on it."""

    date: Date
    by: Text
    trace: Tag | None = None
    confirmed_by_opening: YesNo | None = Field(
        None, description="of a feed: whether what feeds it was opened and it went dead"
    )
    found: Text | None = None
