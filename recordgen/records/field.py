"""What was found in the field: cables, runs, traces, faults, instruments, inspections."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field

from recordgen.records.base import Count, Date, OneOrMany, Record, Text, YesNo
from recordgen.records.bounds import BoundedMetres, BoundedOhms, BoundedRatio, EchoTime
from recordgen.records.positions import Ref, Tag
from recordgen.records.quantities import Celsius, Measured, Metres


class CableEnd(Record):
    """One end of a cable."""

    room: Text | None = None
    at: Text | None = Field(None, description="port, jack, terminal block or device")
    label: Text | None = None


def _end_from_text(value: Any) -> Any:
    return {"at": value} if isinstance(value, str) else value


CableEndField = Annotated[
    CableEnd, BeforeValidator(_end_from_text, json_schema_input_type=Text | CableEnd)
]


class Cable(Record):
    """A low-voltage or communication cable."""

    kind: Literal[
        "coax", "twisted pair", "category", "telephone", "alarm", "control", "fibre", "speaker"
    ]
    category: Text | None = None
    description: Text | None = None
    ends: tuple[CableEndField, ...] = ()
    bundle: Text | None = None
    identified: Text | None = Field(None, description="how it was identified")
    trace: Tag | None = None
    notes: Text | None = None


class Landmark(Record):
    """A point along a run."""

    at_m: Metres | None = Field(None, alias="at")
    what: Text
    room: Text | None = None
    depth_m: Metres | None = Field(None, alias="depth", description="below ground, where buried")
    underground: YesNo | None = None


class Run(Record):
    """The physical route of a circuit or cable."""

    of: Ref
    description: Text | None = None
    landmarks: tuple[Landmark, ...] = ()
    trace: Tag | None = None
    notes: Text | None = None


class Reading(Record):
    """What the instrument showed at one place, in the units of its scale."""

    at: Text = Field(description="panel, panel/position, distance, landmark or cable")
    values: Annotated[tuple[Measured, ...], OneOrMany]
    sensitivity: Count | None = None
    note: Text | None = None


class Joined(Record):
    """How an instrument that gives a distance was joined to a run."""

    from_: Text | None = Field(None, alias="from", description="landmark or distance")
    towards: Literal["end", "start"] | None = Field(
        None, description="which way along the run it looked"
    )
    conductor_per_route: BoundedRatio | None = Field(
        None,
        description="conductor length per route length; 1 where the run was measured along it",
    )


class Echo(Joined):
    """What a reflectometer showed."""

    time_ns: EchoTime = Field(alias="time", description="from the pulse to its echo")
    velocity_factor: BoundedRatio | None = None


class Bridge(Joined):
    """A bridge at balance, joined to the faulty conductor and a sound one."""

    sound_arm_ohm: BoundedOhms = Field(alias="sound_arm")
    faulty_arm_ohm: BoundedOhms = Field(alias="faulty_arm")
    loop_m: BoundedMetres | None = Field(
        None, alias="loop", description="out on the faulty conductor and back on the sound one"
    )
    faulty_length_m: BoundedMetres | None = Field(
        None, alias="faulty_length", description="of the faulty conductor from end to end"
    )


class Trace(Record):
    """Field evidence: what an instrument showed, and what was concluded from it."""

    date: Date
    by: Text
    instrument: Tag | None = None
    purpose: Literal[
        "identify the breaker",
        "follow a run",
        "list what is downstream",
        "locate an open",
        "locate a ground fault",
        "locate a short",
        "follow an underground cable",
        "sort a bundle",
    ]
    connection: (
        Literal["energized circuit", "dead conductor with remote return", "inductive clamp"] | None
    ) = None
    load: Tag | None = Field(None, description="the load whose breaker was looked for")
    circuit: Ref | None = Field(None, description="the circuit that was traced")
    cable: Tag | None = None
    run: Tag | None = None
    transmitter_at: Text | None = Field(
        None, description="where along the run the transmitter was joined: landmark or distance"
    )
    readings: tuple[Reading, ...] = ()
    echo: Echo | None = None
    bridge: Bridge | None = None
    found: Annotated[tuple[Tag, ...], OneOrMany] = Field(
        (), description="loads found on the circuit"
    )
    conclusion: Text | None = None
    concluded_circuit: Ref | None = None
    concluded_cable: Tag | None = Field(None, description="the cable found in a bundle")
    confirmed_by_opening: YesNo | None = Field(
        None, description="whether the breaker was opened and the load went dead"
    )
    resolved: Text | None = Field(
        None, description="how a contradiction with the record was settled"
    )
    photos: Annotated[tuple[Text, ...], OneOrMany] = ()
    notes: Text | None = None


class Measurement(Record):
    """One measured value."""

    quantity: Literal[
        "insulation resistance",
        "continuity",
        "voltage",
        "current",
        "trip time",
        "trip current",
        "temperature",
        "temperature rise",
        "resistance",
        "distance",
    ]
    value: Measured
    between: Text | None = None
    test_v: Text | None = Field(None, alias="test_voltage")
    temperature_c: Celsius | None = Field(None, alias="temperature")
    instrument: Tag | None = None


FaultStep = Literal["found", "made safe", "located", "repaired", "retested", "closed"]
FaultKind = Literal[
    "open",
    "open neutral",
    "ground fault",
    "short",
    "arcing",
    "nuisance trip",
    "overload",
    "overheated termination",
    "wrong labelling",
    "damaged insulation",
    "failed device",
]


class Step(Record):
    """One step in the life of a fault."""

    step: FaultStep
    date: Date
    by: Text
    what: Text | None = None
    measured: Annotated[tuple[Measurement, ...], OneOrMany] = ()
    instrument: Tag | None = None
    trace: Tag | None = None


class Fault(Record):
    """A fault and its life so far."""

    kind: FaultKind
    circuit: Ref | None = None
    load: Tag | None = None
    room: Text | None = None
    description: Text
    steps: tuple[Step, ...] = ()
    cause: Text | None = None
    photos: Annotated[tuple[Text, ...], OneOrMany] = ()
    notes: Text | None = None


class Instrument(Record):
    """A measuring or tracing instrument; the model class, not a brand."""

    kind: Literal[
        "tracer",
        "multimeter",
        "voltage tester",
        "insulation tester",
        "proving unit",
        "clamp meter",
        "reflectometer",
        "cable bridge",
        "thermal camera",
        "GFCI tester",
        "low-resistance ohmmeter",
        "cable tester",
    ]
    model_class: Text | None = None
    serial: Text | None = None
    category: Text | None = Field(None, description="measurement category, like CAT III 600 V")
    calibrated: Date | None = None
    due: Date | None = None
    notes: Text | None = None


class Inspection(Record):
    """A periodic inspection."""

    kind: Literal[
        "lockout sheet", "directory walk-through", "arc-flash label review", "thermographic survey"
    ]
    of: Annotated[tuple[Ref, ...], OneOrMany]
    date: Date
    by: Text
    employees: Annotated[tuple[Text, ...], OneOrMany] = ()
    found: Text | None = None
    next_due: Date | None = None
    instrument: Tag | None = None
