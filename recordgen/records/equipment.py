"""Equipment between sources, panels and loads, one model for each kind."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from recordgen.records.base import CountAboveZero, Date, OneOrMany, Text, YesNo
from recordgen.records.parts import (
    ArcFlashLabel,
    Branch,
    Checked,
    ConductorsField,
    Grounding,
    LockInForce,
    Placed,
    Present,
    StoredEnergy,
    TemporaryFeed,
)
from recordgen.records.positions import Ref
from recordgen.records.quantities import (
    Amperes,
    InterruptingAmperes,
    LoadPower,
    Minutes,
    Percent,
    Ratio,
    VoltAmperes,
)
from recordgen.records.supply import FedFrom
from recordgen.records.system import System


class _Equipment(Placed):
    name: Text | None = None
    conductors: ConductorsField | None = None
    arc_flash: ArcFlashLabel | None = None
    stored_energy: Annotated[tuple[StoredEnergy, ...], OneOrMany] = ()
    temporary_feeds: tuple[TemporaryFeed, ...] = ()
    crossed_by: Annotated[tuple[Ref, ...], OneOrMany] = ()
    pass_through_checked: Checked | None = None
    feed_checked: Checked | None = Field(
        None, description="that somebody looked what feeds it, and how"
    )
    changed: Date | None = Field(None, description="when it was last replaced or rewired")
    branch: Branch | None = None
    lock_in_force: LockInForce | None = None
    present: Present | None = None


class _Fed(_Equipment):
    fed_from: FedFrom | None = None


class Transformer(_Fed):
    """A transformer; energy passes both ways."""

    kind: Literal["transformer"]
    rating_va: VoltAmperes | None = Field(None, alias="rating")
    primary: System | None = None
    secondary: System | None = None
    impedance_percent: Percent | None = Field(None, alias="impedance")
    x_over_r: Ratio | None = None
    connection: Text | None = None
    grounding: Grounding | None = None


class TransferSwitch(_Equipment):
    """A transfer switch; it never counts as a point of isolation."""

    kind: Literal["transfer switch"]
    rating_a: Amperes | None = Field(None, alias="rating")
    withstand_a: InterruptingAmperes | None = Field(None, alias="withstand_rating")
    normal_from: Ref
    emergency_from: Ref
    operation: Literal["automatic", "manual"] | None = None
    transition: Literal["open", "closed", "delayed"] | None = None
    neutral: Literal["switched", "solid", "overlapping"] | None = None
    bypass_isolation: YesNo | None = None
    poles: CountAboveZero | None = None


class Ups(_Fed):
    """An uninterruptible power supply; energy passes it every way, from its battery too."""

    kind: Literal["UPS"]
    rating_va: VoltAmperes | None = Field(None, alias="rating")
    static_bypass_from: Ref | None = None
    maintenance_bypass_from: Ref | None = None
    ride_through_min: Minutes | None = Field(None, alias="ride_through")
    backfeed_protection: YesNo | None = None
    battery: Text | None = None


class Disconnect(_Fed):
    """A switch in its own enclosure."""

    kind: Literal["disconnect"]
    rating_a: Amperes | None = Field(None, alias="rating")
    fuse_class: Text | None = None
    fuse_a: Amperes | None = Field(None, alias="fuses")
    poles: CountAboveZero | None = None
    lockable: YesNo | None = None
    normal: Literal["open", "closed"] = "closed"
    electrically_operated: YesNo | None = None
    draw_out: YesNo | None = None


class BusTie(_Equipment):
    """A device between two buses, normally open unless it says otherwise."""

    kind: Literal["bus tie"]
    between: tuple[Ref, Ref]
    rating_a: Amperes | None = Field(None, alias="rating")
    normal: Literal["open", "closed"] = "open"
    operation: Literal["automatic", "manual"] | None = None
    transition: Literal["open", "closed", "delayed"] | None = None
    lockable: YesNo | None = None
    electrically_operated: YesNo | None = None
    draw_out: YesNo | None = None
    interlocked_with: Annotated[tuple[Ref, ...], OneOrMany] = ()


class Starter(_Fed):
    """A motor starter or contactor; it does not isolate."""

    kind: Literal["motor starter"]
    rating_w: LoadPower | None = Field(None, alias="rating")
    size: Text | None = None
    control_power_from: Annotated[tuple[Ref, ...], OneOrMany] = ()


class Drive(_Fed):
    """A variable-frequency drive; it does not isolate, and its DC bus stays charged."""

    kind: Literal["variable-frequency drive"]
    rating_w: LoadPower | None = Field(None, alias="rating")
    bypass_from: Ref | None = None


class JunctionBox(_Fed):
    """A box or gutter where conductors are joined or pass through."""

    kind: Literal["junction box"]


Equipment = Transformer | TransferSwitch | Ups | Disconnect | BusTie | Starter | Drive | JunctionBox
EquipmentField = Annotated[Equipment, Field(discriminator="kind")]
