"""Sources, panels with their circuits, and loads."""

from __future__ import annotations

import datetime as dt
from typing import Annotated, Any, Literal

from pydantic import (
    BeforeValidator,
    Field,
    ValidationInfo,
    ValidatorFunctionWrapHandler,
    WrapValidator,
    field_validator,
)
from pydantic_core import PydanticCustomError

from recordgen.records.base import CountAboveZero, Date, OneOrMany, Record, Text, YesNo
from recordgen.records.parts import (
    ArcFlashLabel,
    Branch,
    Checked,
    ConductorsField,
    Criticality,
    Device,
    DeviceField,
    DeviceText,
    Grounding,
    LocalDisconnect,
    LockInForce,
    Placed,
    Present,
    Roles,
    StoredEnergy,
    TemporaryFeed,
)
from recordgen.records.positions import PositionKey, Ref, Tag
from recordgen.records.quantities import (
    Amperes,
    InterruptingAmperes,
    LoadPower,
    Minutes,
    Percent,
    Ratio,
    VoltAmperes,
    Volts,
    shown,
)
from recordgen.records.system import System

LoadKind = Literal[
    "receptacle",
    "lighting",
    "emergency lighting",
    "exit sign",
    "motor",
    "HVAC",
    "heating",
    "water heater",
    "kitchen",
    "laundry",
    "medical",
    "imaging",
    "IT",
    "fire alarm",
    "security",
    "communication",
    "controls",
    "EV",
    "door operator",
    "elevator",
    "pump",
    "fan",
    "compressor",
    "machine tool",
    "welder",
    "battery charger",
    "sign",
    "equipment",
    "other",
]


def _unknown_or_refs(value: Any) -> Any:
    if value == "unknown":
        return ()
    return value if isinstance(value, list | tuple) else [value]


FedFrom = Annotated[
    tuple[Ref, ...],
    BeforeValidator(_unknown_or_refs, json_schema_input_type=Ref | list[Ref]),
]
"""What feeds a thing; an empty tuple where it was written `unknown`."""


class Source(Placed):
    """Anything that can bring voltage from outside the recorded circuits."""

    name: Text | None = None
    kind: Literal["utility", "generator", "photovoltaic", "battery storage", "generator inlet"]
    system: System | None = None
    rating_va: VoltAmperes | None = Field(None, alias="rating")
    available_fault_a: InterruptingAmperes | None = Field(None, alias="available_fault_current")
    x_over_r: Ratio | None = None
    start: Literal["automatic", "manual"] | None = None
    stops_without_utility: YesNo | None = Field(
        None, description="whether it stops by itself when the utility is lost"
    )
    grounding: Grounding | None = None
    operator: Text | None = Field(None, description="who must act to switch it off")
    arc_flash: ArcFlashLabel | None = None
    stored_energy: Annotated[tuple[StoredEnergy, ...], OneOrMany] = ()
    depends_on: Annotated[tuple[Ref, ...], OneOrMany] = ()


class Load(Placed):
    """Anything that uses power."""

    kind: LoadKind
    description: Text | None = None
    power_va: LoadPower | None = Field(None, alias="power", description="VA, W or hp of one piece")
    voltage_v: Volts | None = Field(None, alias="voltage")
    power_factor_percent: Percent | None = Field(None, alias="power_factor")
    continuous: YesNo | None = None
    quantity: CountAboveZero | None = Field(None, description="how many pieces are alike")
    connection: Literal["fixed", "plug"] | None = None
    gfci: YesNo | None = Field(
        None, description="whether a ground-fault outlet or device at it or ahead of it protects it"
    )
    criticality: Criticality | None = None
    notify: Roles = ()
    fed_from: FedFrom | None = None
    needs: Literal["any", "all"] | None = Field(
        None, description="whether any one of several feeds keeps it running, or all are needed"
    )
    control_power_from: Annotated[tuple[Ref, ...], OneOrMany] = ()
    depends_on: Annotated[tuple[Ref, ...], OneOrMany] = ()
    local_disconnect: LocalDisconnect | None = None
    stored_energy: Annotated[tuple[StoredEnergy, ...], OneOrMany] = ()
    arc_flash: ArcFlashLabel | None = None
    present: Present | None = None
    branch: Branch | None = None
    changed: Date | None = Field(None, description="when it was last replaced, moved or rewired")


class UnknownLoads(dict[str, Load]):
    """The loads of a circuit that is on while nobody knows what it feeds."""


class MainLugs(Device):
    """Stands where a main device would: the feeder lands on lugs of the bus."""


def _loads(value: Any, read: ValidatorFunctionWrapHandler) -> Any:
    if value == "unknown":
        return UnknownLoads()
    if isinstance(value, str) and value != "none":
        raise PydanticCustomError(
            "unknown-word",
            "{found} is not expected here",
            {
                "found": shown(value),
                "hint": "write a `TAG:` line for each load, `unknown` (it is on and nobody knows "
                "what it feeds) or `none` (looked, and nothing is connected)",
            },
        )
    return read({} if value == "none" else value)


def _main(value: Any, read: ValidatorFunctionWrapHandler) -> Any:
    return MainLugs() if value == "lugs" else read(value)


def _circuit_from_text(value: Any) -> Any:
    if value is None:
        return {}
    if value in ("spare", "space"):
        return {value: "yes"}
    if isinstance(value, str):
        raise PydanticCustomError(
            "unknown-word",
            "{found} is not expected here",
            {
                "found": shown(value),
                "hint": "write `spare` or `space`, or keys such as `description:` and `device:`, "
                "indented below the position",
            },
        )
    return value


class Circuit(Record):
    """One device position of an assembly and what leaves it.

    Without `loads` nothing is recorded about what it feeds. `loads: unknown` says that the circuit
    is on and nobody knows; `loads: none` says that somebody looked and nothing is connected.
    """

    description: Text | None = None
    device: DeviceField | None = None
    spare: YesNo = False
    space: YesNo = False
    loads: (
        Annotated[
            dict[Tag, Load],
            WrapValidator(
                _loads, json_schema_input_type=dict[Tag, Load] | Literal["unknown", "none"]
            ),
        ]
        | None
    ) = None
    conductors: ConductorsField | None = None
    normal: Literal["open", "closed"] = "closed"
    present: Present | None = None
    lock_in_force: LockInForce | None = None
    neutral_shared_with: Annotated[tuple[Ref, ...], OneOrMany] = ()
    handle_tied_with: Annotated[tuple[Ref, ...], OneOrMany] = Field(
        (), description="neighbours whose handles are tied to this one: they open together"
    )
    neutral_checked: Checked | None = Field(
        None, description="that a shared neutral was looked for"
    )
    backfed_from: Ref | None = Field(None, description="source or equipment on its load side")
    interlocked_with: Annotated[tuple[Ref, ...], OneOrMany] = ()
    branch: Branch | None = None
    changed: Date | None = Field(None, description="when what hangs on it was last changed")
    former_names: Annotated[tuple[Text, ...], OneOrMany] = ()
    arc_flash: ArcFlashLabel | None = None
    notes: Text | None = None

    @property
    def loads_unknown(self) -> bool:
        """Whether the circuit is recorded as on with an unknown load."""
        return isinstance(self.loads, UnknownLoads)


CircuitField = Annotated[
    Circuit,
    BeforeValidator(
        _circuit_from_text, json_schema_input_type=Circuit | Literal["spare", "space"] | None
    ),
]


class Demand(Record):
    """A recorded maximum demand (NEC 220.87 asks for 30 days at least)."""

    demand_va: VoltAmperes = Field(alias="demand")
    first_day: Date
    last_day: Date
    interval_min: Minutes | None = Field(None, alias="interval")
    without_gaps: YesNo | None = Field(None, description="whether it was recorded all that time")
    heaviest_phase: YesNo | None = Field(
        None, description="whether the most heavily loaded phase was recorded"
    )
    occupied: YesNo | None = Field(
        None, description="whether the building was in use all that time"
    )
    season_counted: YesNo | None = Field(
        None, description="whether loads that come with the seasons are in it"
    )
    own_generation: YesNo | None = Field(
        None, description="whether a renewable source or peak shaving works behind it"
    )

    @field_validator("last_day", mode="after")
    @classmethod
    def _not_before_the_first(cls, last: dt.date, info: ValidationInfo) -> dt.date:
        first = info.data.get("first_day")
        if first is not None and last < first:
            raise PydanticCustomError(
                "date-order",
                "the last day, {last}, is before the first, {first}",
                {
                    "last": last.isoformat(),
                    "first": first.isoformat(),
                    "hint": "write the day on which the recording began in `first_day`",
                },
            )
        return last


class RecordedFault(Record):
    """An available fault current that somebody else found: of a study, or of a label."""

    current_a: InterruptingAmperes = Field(
        alias="current", description="at the bus, the largest of three-phase and to neutral"
    )
    date: Date | None = None
    by: Text | None = None


class Panel(Placed):
    """An assembly with numbered overcurrent devices."""

    name: Text | None = None
    kind: Literal["switchboard", "panelboard", "load centre", "motor control centre", "busway"]
    system: System | None = None
    bus_rating_a: Amperes | None = Field(None, alias="bus_rating")
    interrupting_a: InterruptingAmperes | None = Field(None, alias="interrupting_rating")
    main: (
        Annotated[
            DeviceField,
            WrapValidator(_main, json_schema_input_type=Literal["lugs"] | DeviceText | Device),
        ]
        | None
    ) = Field(None, description="the main device, or `lugs`")
    main_present: Present | None = None
    main_lock_in_force: LockInForce | None = None
    positions: CountAboveZero | None = None
    numbering: Literal["odd left", "down the columns", "by device"] | None = None
    high_leg: Literal["A", "B", "C"] | None = None
    fed_from: FedFrom | None = None
    feeder: ConductorsField | None = None
    feed_checked: Checked | None = Field(
        None, description="that somebody looked what feeds it, and how"
    )
    changed: Date | None = Field(
        None, description="when it was last replaced, rewired or fed otherwise"
    )
    temporary_feeds: tuple[TemporaryFeed, ...] = ()
    lockable: YesNo | None = Field(
        None, description="whether every device in it can be locked open, unless it says otherwise"
    )
    lock_hardware: Text | None = None
    crossed_by: Annotated[tuple[Ref, ...], OneOrMany] = Field(
        (), description="circuits whose conductors pass through without belonging to it"
    )
    pass_through_checked: Checked | None = None
    branch: Branch | None = None
    grounding: Grounding | None = None
    isolated_power: YesNo | None = None
    neutral_bonded: YesNo | None = None
    recorded_demand: Demand | None = None
    recorded_fault: RecordedFault | None = Field(
        None, description="available fault current at its bus as a study or a label gives it"
    )
    arc_flash: ArcFlashLabel | None = None
    circuits: dict[PositionKey, CircuitField] = Field(default_factory=dict)

    @property
    def main_device(self) -> Device | None:
        """The main device; None where there are lugs only, or nothing is recorded."""
        return None if isinstance(self.main, MainLugs) else self.main

    @property
    def has_main_lugs(self) -> bool:
        """Whether the feeder is recorded to land on lugs."""
        return isinstance(self.main, MainLugs)

    @property
    def counts_by_device(self) -> bool:
        """Whether one number stands for one device with all its poles."""
        if self.numbering is not None:
            return self.numbering == "by device"
        return self.kind in ("switchboard", "motor control centre", "busway")

    def locks_open(self, device: Device | None) -> bool | None:
        """Whether a device of this panel can be locked open; None where not recorded.

        What is recorded once for the whole panel holds for devices that say nothing themselves.
        """
        if device is None:
            return None
        own = device.locks_open
        return self.lockable if own is None else own
