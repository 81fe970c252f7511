"""The demo portfolio: as large and as varied as its readers and the other tests rely on.

The least counts and the list of what must occur are those of the demo's own specification; the
kinds are read from the models, so that a kind added there asks for an example here.
"""

import datetime as dt
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, get_args

import pytest
from pydantic import BaseModel

from recordgen.evidence.due import inspections_due
from recordgen.evidence.insulation_trend import insulation_trends
from recordgen.evidence.trace_answer import StretchShown
from recordgen.evidence.trace_verdict import TraceVerdicts
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
        ("contradiction", "clinic:FRM-201"),
        ("contradiction", "garage:GEN-G4"),
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
    found = sorted(
        (p.severity, p.code, re.split(r": | was | is due | in calibration | stands ", p.message)[0])
        for p in portfolio.problems
        if p.code.startswith(codes)
    )
    sheet, walk = "the inspection of the lockout sheet", "the walk-through of the directory"
    label, survey = "the review of the arc-flash label", "the thermographic survey"
    assert found == sorted(
        [
            ("warning", "fault-step-missing", "F-07"),
            ("warning", "fault-not-better", "F-07"),
            ("warning", "fault-not-made-safe", "F-10"),
            ("warning", "fault-step-missing", "F-20"),
            ("warning", "fault-not-made-safe", "GF-2"),
            ("note", "fault-instrument-not-recorded", "WF-02"),
            ("warning", "fault-not-made-safe", "WF-03"),
            ("warning", "fault-step-missing", "WF-06"),
            ("warning", "fault-not-measured", "WF-09"),
            ("warning", "fault-step-order", "WF-10"),
            ("warning", "fault-step-order", "WF-10"),
            ("warning", "out-of-calibration", "TC-1"),
            ("warning", "out-of-calibration", "I-1"),
            ("note", "calibration-not-shown", "whether IT-0"),
            ("note", "calibration-not-shown", "whether R-1"),
            ("note", "inspection-due", f"{label} of UP-1"),
            ("note", "inspection-due", f"{sheet} of CH-1"),
            ("note", "inspection-due", f"{survey} of LP-1, LP-2"),
            ("note", "inspection-due", f"{walk} of CP-1"),
            ("warning", "inspection-overdue", f"{label} of EQH"),
            ("warning", "inspection-overdue", f"{sheet} of STER-1"),
            ("warning", "inspection-overdue", f"{sheet} of TSAW-1"),
            ("warning", "inspection-overdue", f"{survey} of UP-1, CP-1"),
            ("warning", "inspection-overdue", f"{walk} of LC-1, FB-1"),
            ("warning", "inspected-by-user", "M.K. inspected the lockout sheet of AHU-2 and"),
            ("warning", "inspected-by-user", "P.L. inspected the lockout sheet of DUST-1 and"),
        ]
    )


def test_what_evidence_does_not_bear_is_what_is_meant_to_be(portfolio: Portfolio) -> None:
    # By trace: what was listed or concluded beyond the readings, and never settled.
    found = Counter(
        (problem.severity, re.findall(r"\b(?:TR|TG|TW)-[0-9]+", problem.message)[0])
        for problem in portfolio.problems
        if problem.code == "evidence-not-enough"
    )
    assert found == Counter(
        [
            ("note", "TR-07"),  # a load that the record has there is not named
            ("note", "TR-09"),  # only the first part of the run was followed
            ("warning", "TR-21"),  # signal in words, nothing opened
            ("warning", "TR-38"),
            ("warning", "TR-41"),
            ("warning", "TR-45"),
            ("note", "TR-46"),
            ("note", "TR-51"),
            ("warning", "TR-60"),  # one load of three
            ("warning", "TG-4"),
            ("note", "TG-7"),
            ("warning", "TW-02"),
            ("note", "TW-03"),
            ("warning", "TW-08"),  # a fault is said to be located by it
            ("warning", "TW-11"),
            ("warning", "TW-12"),
        ]
    )


@pytest.mark.parametrize(
    ("section", "least"),
    [
        ("panels", 12),
        ("faults", 25),
        ("traces", 60),
        ("cables", 12),
        ("runs", 15),
        ("instruments", 12),
        ("inspections", 20),
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
    count = Counter(trace.purpose for trace in traces)
    assert set(count) == _kinds(field.Trace, "purpose")
    assert min(count.values()) >= 2
    assert {trace.connection for trace in traces} >= _kinds(field.Trace, "connection")


@pytest.mark.parametrize(
    ("trace", "word", "bears"),
    # What each was made to show: the hard cases of the demo's own specification.
    [
        ("clinic:TR-17", "ambiguous", "nothing concluded"),  # the scale full on three breakers
        ("clinic:TR-39", "ambiguous", "nothing concluded"),  # one orientation only
        ("clinic:TR-40", "identified", "bears"),  # the same, turned
        ("clinic:TR-41", "ambiguous", "does not bear"),  # a near-tie in all three
        ("clinic:TR-42", "not enough", "nothing concluded"),  # on the load side of a drive
        ("clinic:TR-43", "identified", "bears"),  # on its line side
        ("clinic:TR-18", "confirmed", "bears"),  # by opening
        ("workshop:TW-11", "not enough", "does not bear"),  # without sensitivities
        ("clinic:TR-44", "contradicts the record", "bears"),
        ("garage:TG-5", "contradicts the record", "bears"),
        ("clinic:TR-20", "shown", "bears"),  # by readings at the loads
        ("clinic:TR-60", "shown in part", "bears in part"),
        ("clinic:TR-45", "signal lost", "bears in part"),
        ("clinic:TR-46", "followed in part", "bears in part"),  # a gap
        ("clinic:TR-47", "followed", "bears"),  # underground, with depths
        ("garage:TG-4", "not enough", "does not bear"),  # words without readings
        ("clinic:TR-48", "located", "bears"),  # sensitivity changed, and read again
        ("clinic:TR-54", "no clear drop", "words only"),  # changed, and not read again
        ("clinic:TR-49", "located", "bears"),  # a bridge
        ("clinic:TR-50", "located", "bears"),  # echo and tracer agree
        ("clinic:TR-51", "methods disagree", "words only"),
        ("clinic:TR-52", "located", "bears"),  # an echo with its bounds
        ("workshop:TW-12", "not enough", "does not bear"),  # an echo without
        ("clinic:TR-55", "ambiguous", "nothing concluded"),  # two cables too close
        ("clinic:TR-56", "identified", "bears"),  # a clear winner
    ],
)
def test_hard_traces_show_what_they_were_made_to_show(
    portfolio: Portfolio, trace: str, word: str, bears: str
) -> None:
    found = TraceVerdicts(portfolio.buildings, portfolio.network).of(trace)
    assert (found.word, found.bears) == (word, bears)


def test_evidence_grows_old_and_is_overtaken_by_changes(portfolio: Portfolio) -> None:
    aged = portfolio.grades.of_claim("clinic:NC-114", "clinic:CP-1/25")
    assert (aged.name, aged.trace) == ("unverified", "clinic:TR-58")
    changed = portfolio.grades.of_claim("clinic:PL-X01-N", "clinic:JB-S1")
    assert (changed.name, changed.trace) == ("unverified", "clinic:TR-57")
    assert "changed on 2024-09-30" in changed.reason


def test_both_methods_hold_the_fault_where_it_was_dug_up(portfolio: Portfolio) -> None:
    """Handhole JB-S2 was put in over the splice at 60 ft; drawn with a fault at 61 ft."""
    verdicts = TraceVerdicts(portfolio.buildings, portfolio.network)
    for trace in ("clinic:TR-48", "clinic:TR-49"):
        shows = verdicts.of(trace).shows
        assert isinstance(shows, StretchShown)
        assert shows.stretch is not None
        assert shows.stretch.low_m < 61 * 0.3048 < shows.stretch.high_m


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
    assert len(series) >= 25


def test_a_circuit_was_tested_again_over_years(portfolio: Portfolio) -> None:
    (trend,) = (
        found
        for found in insulation_trends(portfolio.buildings)
        if found.circuit == "clinic:LS-1/5"
    )
    assert [point.date.year for point in trend.points] == [2024, 2024, 2025, 2026]
    assert trend.verdict == "falling"


def test_every_kind_of_inspection_is_in_time_due_soon_and_overdue(portfolio: Portfolio) -> None:
    found = {(due.kind, due.state) for due in inspections_due(portfolio.buildings, AS_OF)}
    states = {"in time", "due soon", "overdue"}
    wanted = {(kind, state) for kind in _kinds(field.Inspection) for state in states}
    assert found >= wanted
    this_year = [
        inspection
        for inspection in _records(portfolio, "inspections")
        if inspection.kind == "lockout sheet" and inspection.date.year == AS_OF.year
    ]
    assert len(this_year) >= 5


def test_two_instruments_were_used_out_of_calibration(portfolio: Portfolio) -> None:
    late = set()
    for loaded in portfolio.buildings.values():
        due = {tag: record.due for tag, record in loaded.records.instruments.items()}
        for fault in loaded.records.faults.values():
            for step in fault.steps:
                for tag in (step.instrument, *(found.instrument for found in step.measured)):
                    last = due[tag] if tag else None
                    if last and last < step.date:
                        late.add(tag)
    assert late == {"TC-1", "I-1"}


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
