"""The demo portfolio: as large and as varied as its readers and the other tests rely on.

The least counts and the list of what must occur are those of the demo's own specification; the
kinds are read from the models, so that a kind added there asks for an example here.
"""

import datetime as dt
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import pytest
from pydantic import BaseModel

from recordgen.portfolio import Portfolio, load_portfolio
from recordgen.records import equipment, field, supply
from recordgen.records.loader import LoadedBuilding, record_files
from recordgen.records.parts import Branch
from recordgen.records.supply import Circuit, Load

BUILDINGS = Path(__file__).parents[1] / "buildings"
AS_OF = dt.date(2026, 11, 25)


@pytest.fixture(scope="module")
def portfolio() -> Portfolio:
    return load_portfolio(BUILDINGS, AS_OF)


def _records(portfolio: Portfolio, section: str) -> list[Any]:
    return [
        record
        for loaded in portfolio.buildings.values()
        for record in getattr(loaded.records, section).values()
    ]


def _circuits(portfolio: Portfolio) -> list[Circuit]:
    panels = _records(portfolio, "panels")
    return [circuit for panel in panels for circuit in panel.circuits.values()]


def _loads(loaded: LoadedBuilding) -> Iterator[tuple[str, Load]]:
    yield from loaded.records.loads.items()
    for panel in loaded.records.panels.values():
        for circuit in panel.circuits.values():
            yield from (circuit.loads or {}).items()


def _values(record: object) -> Iterator[tuple[str, object]]:
    """Yield every field of a record and of the records inside it, by name."""
    if isinstance(record, BaseModel):
        for name, value in record:
            yield name, value
            yield from _values(value)
    elif isinstance(record, dict):
        for value in record.values():
            yield from _values(value)
    elif isinstance(record, tuple):
        for value in record:
            yield from _values(value)


def _kinds(model: type[BaseModel], name: str = "kind") -> set[str]:
    """Return the words that a field of a model allows."""
    found: set[str] = set()
    stack = [model.model_fields[name].annotation]
    while stack:
        for part in get_args(stack.pop()):
            if isinstance(part, str):
                found.add(part)
            else:
                stack.append(part)
    return found


def test_the_demo_can_be_read_without_an_error(portfolio: Portfolio) -> None:
    assert [str(p) for p in portfolio.problems if p.severity == "error"] == []


def test_what_must_be_stopped_for_is_what_is_meant_to_be(portfolio: Portfolio) -> None:
    stops = {(p.code, *p.subjects[:1]) for p in portfolio.problems if p.severity == "stop"}
    assert stops == {
        ("contradiction", "workshop:FS-W7"),
        ("load-unknown", "workshop:BW-1/6"),
        ("load-unknown", "workshop:FB-1/6"),
        ("load-unknown", "workshop:LC-1/24B"),
        ("source-unknown", "workshop:LAMP-W"),
    }


def test_what_faults_instruments_and_periods_show_is_what_is_meant_to_be(
    portfolio: Portfolio,
) -> None:
    # Held by hand against the records: what was done late, never, or with an old sticker.
    codes = ("fault-", "out-of-calibration", "calibration-", "inspection-", "inspected-", "date-")
    found = {
        (p.severity, p.code, p.message.partition(":")[0].partition(" was")[0])
        for p in portfolio.problems
        if p.code.startswith(codes)
    }
    sheet, walk = "the inspection of the lockout sheet", "the walk-through of the directory"
    assert found == {
        ("warning", "fault-step-missing", "F-07"),
        ("warning", "fault-not-better", "F-07"),
        ("warning", "fault-not-made-safe", "F-10"),
        ("warning", "fault-not-made-safe", "GF-2"),
        ("warning", "fault-not-made-safe", "WF-03"),
        ("warning", "fault-step-missing", "WF-06"),
        ("note", "fault-instrument-not-recorded", "WF-02"),
        ("warning", "out-of-calibration", "TC-1"),
        ("warning", "inspection-overdue", f"{sheet} of STER-1"),
        ("warning", "inspection-overdue", f"{sheet} of TSAW-1"),
        ("warning", "inspection-overdue", f"{walk} of LC-1, FB-1"),
    }


@pytest.mark.parametrize(
    ("section", "least"),
    [
        ("panels", 12),
        ("faults", 15),
        ("traces", 25),
        ("cables", 12),
        ("runs", 5),
        ("instruments", 8),
        ("inspections", 8),
    ],
)
def test_there_are_enough_records(portfolio: Portfolio, section: str, least: int) -> None:
    assert len(_records(portfolio, section)) >= least


def test_there_are_enough_circuits_and_loads(portfolio: Portfolio) -> None:
    assert sum(not circuit.space for circuit in _circuits(portfolio)) >= 250
    loads = [tag for loaded in portfolio.buildings.values() for tag, _ in _loads(loaded)]
    assert len(loads) >= 600


def test_the_buildings_are_the_clinic_the_workshop_and_its_garage(portfolio: Portfolio) -> None:
    assert list(portfolio.buildings) == ["clinic", "garage", "workshop"]
    (feed,) = portfolio.buildings["garage"].records.panels["GP-1"].fed_from or ()
    assert feed.building == "workshop"


def test_every_kind_of_equipment_occurs(portfolio: Portfolio) -> None:
    wanted = {kind for model in get_args(equipment.Equipment) for kind in _kinds(model)}
    assert {record.kind for record in _records(portfolio, "equipment")} == wanted


@pytest.mark.parametrize(
    ("section", "model"),
    [
        ("sources", supply.Source),
        ("panels", supply.Panel),
        ("cables", field.Cable),
        ("faults", field.Fault),
        ("instruments", field.Instrument),
        ("inspections", field.Inspection),
    ],
)
def test_every_kind_occurs(portfolio: Portfolio, section: str, model: type[BaseModel]) -> None:
    assert {record.kind for record in _records(portfolio, section)} == _kinds(model)


def test_every_kind_of_load_occurs(portfolio: Portfolio) -> None:
    loads = [load for loaded in portfolio.buildings.values() for _, load in _loads(loaded)]
    assert {load.kind for load in loads} == set(get_args(supply.LoadKind))


def test_every_purpose_and_connection_of_a_trace_occurs(portfolio: Portfolio) -> None:
    traces = _records(portfolio, "traces")
    assert {trace.purpose for trace in traces} == _kinds(field.Trace, "purpose")
    assert {trace.connection for trace in traces} >= _kinds(field.Trace, "connection")


def test_readings_of_a_tracer_are_whole_numbers_of_its_scale(portfolio: Portfolio) -> None:
    values = [
        value
        for trace in _records(portfolio, "traces")
        for reading in trace.readings
        for value in reading.values
    ]
    assert len(values) > 100
    assert [value for value in values if not 0 <= value <= 99 or value != int(value)] == []


def test_faults_stand_in_every_stage(portfolio: Portfolio) -> None:
    faults = _records(portfolio, "faults")
    assert {fault.steps[-1].step for fault in faults} == set(get_args(field.FaultStep))
    assert max(Counter(fault.circuit for fault in faults if fault.circuit).values()) >= 3
    series = [
        measurement
        for fault in faults
        for step in fault.steps
        for measurement in step.measured
        if measurement.quantity == "insulation resistance"
    ]
    assert all(measurement.test_v and measurement.temperature_c for measurement in series)
    assert len(series) >= 10


def test_one_instrument_was_used_out_of_calibration(portfolio: Portfolio) -> None:
    late = set()
    for loaded in portfolio.buildings.values():
        due = {tag: record.due for tag, record in loaded.records.instruments.items()}
        for fault in loaded.records.faults.values():
            for step in fault.steps:
                for tag in (step.instrument, *(found.instrument for found in step.measured)):
                    last = due[tag] if tag else None
                    if last and last < step.date:
                        late.add(tag)
    assert late == {"TC-1"}


def test_what_a_reader_should_find_is_there(portfolio: Portfolio) -> None:
    circuits = _circuits(portfolio)
    panels = _records(portfolio, "panels")
    loads = [load for loaded in portfolio.buildings.values() for _, load in _loads(loaded)]
    device_kinds = {circuit.device.kind for circuit in circuits if circuit.device}
    assert device_kinds >= {"breaker", "GFCI breaker", "AFCI breaker", "GFPE breaker", "fuse"}
    assert any(circuit.spare for circuit in circuits)
    assert any(circuit.space for circuit in circuits)
    assert any(circuit.lock_in_force for circuit in circuits)
    assert any(circuit.present for circuit in circuits)
    assert any(panel.temporary_feeds for panel in panels)
    assert any(panel.isolated_power for panel in panels)
    assert any(panel.arc_flash for panel in panels)
    assert any(load.needs == "any" and len(load.fed_from or ()) == 2 for load in loads)
    assert any(load.control_power_from for load in loads)
    assert {panel.lockable for panel in panels} == {True, None}
    assert {panel.branch for panel in panels} >= set(get_args(Branch))
    assert any(circuit.former_names for circuit in circuits)


def test_shared_neutrals_of_two_of_three_and_across_panels(portfolio: Portfolio) -> None:
    clinic = portfolio.buildings["clinic"].records.panels
    shared = {
        f"{tag}/{position}": {str(other) for other in circuit.neutral_shared_with}
        for tag, panel in clinic.items()
        for position, circuit in panel.circuits.items()
        if circuit.neutral_shared_with
    }
    assert shared["LP-1/14"] == {"16"}
    assert shared["LP-1/21"] == {"19", "23"}
    assert shared["LP-2/33"] == {"LP-2A/6"}


def test_a_panel_of_forty_two_positions_is_written_in_full(portfolio: Portfolio) -> None:
    panel = portfolio.buildings["clinic"].records.panels["LP-1"]
    assert sorted(n for position in panel.circuits for n in position.numbers) == [*range(1, 43)]


def test_tandem_devices_occur_only_in_load_centres(portfolio: Portfolio) -> None:
    with_tandems = [
        panel
        for panel in _records(portfolio, "panels")
        if any(slot.half for position in panel.circuits for slot in position.slots)
    ]
    assert with_tandems
    assert {panel.kind for panel in with_tandems} == {"load centre"}


def test_no_120_volt_load_is_on_a_high_leg(portfolio: Portfolio) -> None:
    # Rows of two positions follow A, B, C (common practice); B is the high leg of the workshop.
    for tag in ("HL-1", "HL-2"):
        panel = portfolio.buildings["workshop"].records.panels[tag]
        for position, circuit in panel.circuits.items():
            if len(position.slots) == 1 and circuit.loads:
                assert (position.numbers[0] - 1) // 2 % 3 != 1, f"{tag}/{position}"


def test_bundles_and_an_underground_run(portfolio: Portfolio) -> None:
    bundles = {cable.bundle for cable in _records(portfolio, "cables") if cable.bundle}
    assert len(bundles) >= 2
    landmarks = [mark for run in _records(portfolio, "runs") for mark in run.landmarks]
    assert any(mark.underground and mark.depth_m for mark in landmarks)


def test_nothing_is_dated_after_the_as_of_date(portfolio: Portfolio) -> None:
    ahead = {"due", "next_due", "review_due", "until"}
    late = [
        f"{building}: {name} {value}"
        for building, loaded in portfolio.buildings.items()
        for name, value in _values(loaded.records)
        if isinstance(value, dt.date) and name not in ahead and value > AS_OF
    ]
    assert late == []


def test_every_room_that_is_named_exists(portfolio: Portfolio) -> None:
    named = [
        (building, value, loaded.records.rooms)
        for building, loaded in portfolio.buildings.items()
        for name, value in _values(loaded.records)
        if name == "room" and value is not None
    ]
    assert len(named) > 600
    assert [(building, room) for building, room, rooms in named if room not in rooms] == []


def test_every_room_is_used_or_says_what_it_is(portfolio: Portfolio) -> None:
    for loaded in portfolio.buildings.values():
        for tag, room in loaded.records.rooms.items():
            assert room.name, tag
            assert room.floor in loaded.records.building.floors, tag


def test_every_file_names_the_schema_to_its_editor() -> None:
    for building in sorted(path for path in BUILDINGS.iterdir() if path.is_dir()):
        for path in record_files(building):
            first = path.read_text(encoding="utf-8").splitlines()[0]
            lead, _, target = first.partition("$schema=")
            assert lead == "# yaml-language-server: ", path
            schema = BUILDINGS.parent / "recordgen" / "records" / "schema.json"
            assert (path.parent / target).resolve() == schema.resolve(), path
