"""Every key of every record is accepted, is kept, and is unknown where it is not written.

tests/cases/good/everything/ writes every key at least once; the values below were taken from it by
hand.
"""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from pydantic import BaseModel, ValidationError

from recordgen.portfolio import load_portfolio
from recordgen.records.building import BuildingRecords
from recordgen.records.equipment import Disconnect
from recordgen.records.loader import load_records
from recordgen.records.messages import models_in
from recordgen.records.parts import Device
from recordgen.records.supply import Circuit, Load, MainLugs, Panel

GOOD = Path(__file__).parents[1] / "cases" / "good" / "everything" / "buildings"
SAID_BY_DEFAULT = {
    ("Device", "kind"): "breaker",
    ("LocalDisconnect", "kind"): "switch",
    ("Circuit", "spare"): False,
    ("Circuit", "space"): False,
    ("Circuit", "normal"): "closed",
    ("Disconnect", "normal"): "closed",
    ("BusTie", "normal"): "open",
}
"""What a record means that does not say so; everything else is unknown until it is written."""


@pytest.fixture(scope="module")
def everything() -> BuildingRecords:
    found = load_records(GOOD)
    assert not found.problems, [str(problem) for problem in found.problems]
    return found.buildings["everything"].records


def models(kind: Any = BuildingRecords) -> Iterator[type[BaseModel]]:
    for model in models_in(kind):
        yield model
        for field in model.model_fields.values():
            yield from models(field.annotation)


def instances(value: Any) -> Iterator[BaseModel]:
    if isinstance(value, BaseModel):
        yield value
        for _, inner in value:
            yield from instances(inner)
    elif isinstance(value, dict):
        for inner in value.values():
            yield from instances(inner)
    elif isinstance(value, tuple):
        for inner in value:
            yield from instances(inner)


def parts_of(records: BuildingRecords) -> list[BaseModel]:
    # The loader puts the sections together itself, so that they are walked by name here.
    return [
        part for name in BuildingRecords.model_fields for part in instances(getattr(records, name))
    ]


KINDS = {model.__name__: model for model in models() if model is not BuildingRecords}
OWN_FIELDS = sorted(
    {
        (owner.__name__, name)
        for model in KINDS.values()
        for owner in model.__mro__
        for name in vars(owner).get("__annotations__", {})
        if name in model.model_fields
    }
)
"""Every field with the class that declares it; classes derived from that one have it too."""


def is_a(part: BaseModel, kind: str) -> bool:
    return any(owner.__name__ == kind for owner in type(part).__mro__)


def test_all_models_are_found() -> None:
    assert len(KINDS) >= 35
    assert {"Panel", "Circuit", "Ups", "Step", "StoredEnergy", "CableEnd"} <= set(KINDS)


@pytest.mark.parametrize(("kind", "field"), OWN_FIELDS)
def test_every_field_is_accepted_and_kept(
    everything: BuildingRecords, kind: str, field: str
) -> None:
    of_kind = [part for part in parts_of(everything) if is_a(part, kind)]
    written = [part for part in of_kind if field in part.model_fields_set]
    assert written, f"tests/cases/good/everything does not write {field} of {kind}"
    assert all(getattr(part, field) is not None for part in written)


@pytest.mark.parametrize("kind", KINDS)
def test_what_is_not_written_is_unknown(kind: str) -> None:
    for name, field in KINDS[kind].model_fields.items():
        if not field.is_required():
            default = field.get_default(call_default_factory=True)
            said = SAID_BY_DEFAULT.get((kind, name))
            assert default == said if said is not None else default in (None, (), {}), name


def test_a_record_without_its_optional_keys_says_nothing() -> None:
    panel = Panel(kind="panelboard")
    assert (panel.system, panel.main, panel.fed_from, panel.lockable) == (None,) * 4
    assert panel.locks_open(Device()) is None
    assert Circuit().loads is None
    assert not Circuit().loads_unknown
    assert Load(kind="fan").power_va is None
    assert Disconnect(kind="disconnect").lockable is None


def test_records_are_frozen(everything: BuildingRecords) -> None:
    for part in parts_of(everything):
        for field in type(part).model_fields:
            with pytest.raises(ValidationError, match="frozen"):
                setattr(part, field, None)


def test_required_keys_are_those_without_which_nothing_is_said() -> None:
    required = {
        f"{kind}.{name}"
        for kind, model in KINDS.items()
        for name, field in model.model_fields.items()
        if field.is_required() and name not in ("kind", "date", "by", "since")
    }
    assert required == {
        "Bridge.faulty_arm_ohm",
        "Bridge.sound_arm_ohm",
        "Building.name",
        "BusTie.between",
        "Contact.role",
        "Demand.demand_va",
        "Demand.first_day",
        "Demand.last_day",
        "Echo.time_ns",
        "Fault.description",
        "Grounding.system",
        "Inspection.of",
        "Landmark.what",
        "Measurement.quantity",
        "Measurement.value",
        "Present.position",
        "Reading.at",
        "Reading.values",
        "RecordedFault.current_a",
        "Run.of",
        "Step.step",
        "TemporaryFeed.fed_from",
        "Trace.purpose",
        "TransferSwitch.emergency_from",
        "TransferSwitch.normal_from",
    }


def test_values_are_converted_once(everything: BuildingRecords) -> None:
    msb, lp = everything.panels["MSB"], everything.panels["LP-1"]
    assert (msb.bus_rating_a, str(msb.bus_rating_a)) == (1200, "1,200 A")
    assert msb.feeder is not None
    assert msb.feeder.length_m == pytest.approx(95 * 0.3048)  # NIST SP 811: 1 ft = 0.3048 m
    assert msb.feeder.ambient_c == pytest.approx(30)  # 86 °F, as (86 - 32) / 1.8
    assert msb.recorded_demand is not None
    assert msb.recorded_demand.last_day == dt.date(2026, 2, 15)
    assert everything.sources["UTIL"].available_fault_a == 22_000
    assert everything.faults["F-1"].steps[0].measured[0].value == pytest.approx(0.2e6)
    assert everything.instruments["TRC-1"].serial == "0042"
    assert everything.instruments["MEG-1"].serial == "1e3"
    assert lp.arc_flash is None
    assert msb.arc_flash is not None
    assert msb.arc_flash.glove_class == "00"


def test_short_forms_mean_what_they_stand_for(everything: BuildingRecords) -> None:
    lp = everything.panels["LP-1"]
    at = {str(position): circuit for position, circuit in lp.circuits.items()}
    assert isinstance(lp.main, MainLugs)
    assert lp.has_main_lugs
    assert lp.main_device is None
    assert at["1"].device == Device(kind="GFCI breaker", rating="20 A")  # type: ignore[call-arg]
    assert at["3"].device == Device(rating="20A")  # type: ignore[call-arg]
    assert at["8"].device is not None
    assert at["8"].device.kind == "fused switch"
    assert (at["9"].spare, at["9"].space, at["11"].space) == (True, False, True)
    assert at["3"].loads == {}
    assert at["8"].loads_unknown
    assert at["13"] == Circuit()
    assert [str(ref) for ref in at["1"].neutral_shared_with] == ["3"]
    assert everything.equipment["PV-DISC"].fed_from == ()  # type: ignore[union-attr]
    assert everything.rooms["101"].name == "Electrical room"
    assert everything.rooms["103"].name is None
    assert everything.building.floors == ("1", "2")
    assert [end.at for end in everything.cables["C-1"].ends] == ["port 12", "jack 4"]


@pytest.mark.parametrize(
    ("own", "panel", "locks"),
    [
        (None, None, None),
        (None, True, True),
        (None, False, False),
        (True, None, True),
        (True, False, True),
        (False, True, False),
    ],
)
def test_the_panel_answers_for_devices_that_say_nothing(
    own: bool | None, panel: bool | None, locks: bool | None
) -> None:
    assert Panel(kind="panelboard", lockable=panel).locks_open(Device(lockable=own)) is locks


def test_what_cannot_hold_a_circuit_open_never_locks() -> None:
    # NFPA 70E 120.4 and common practice: control devices do not isolate, and a device that can be
    # closed from elsewhere counts only racked out.
    assert Device(kind="contactor", lockable=True).locks_open is False
    assert Device(electrically_operated=True, lockable=True).locks_open is False
    assert Device(electrically_operated=True, draw_out=True, lockable=True).locks_open is True
    panel = Panel(kind="motor control centre", lockable=True)
    assert panel.locks_open(Device(kind="contactor")) is False
    assert panel.locks_open(None) is None


def test_the_network_can_be_built_of_it() -> None:
    problems = load_portfolio(GOOD, dt.date(2026, 11, 25)).problems
    assert not [str(problem) for problem in problems if problem.severity == "error"]
