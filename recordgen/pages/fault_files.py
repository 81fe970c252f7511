"""The fault history as two CSV files: a row for each fault, and a row for each step and value.

"not recorded" stands where the record has nothing; a cell is empty where its column says nothing of
that row, such as the insulation resistance of a measured current.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Final

from recordgen.evidence.fault_life import STEPS
from recordgen.evidence.insulation_trend import BASES_C, at_base, megohms
from recordgen.network.model import building_of, local
from recordgen.pages import paths
from recordgen.pages.csv_text import Cell, csv_text
from recordgen.pages.describe import NOT_RECORDED
from recordgen.pages.fault_timeline import gaps, instrument_use
from recordgen.pages.fault_values import FaultFacts
from recordgen.pages.page import DataFile
from recordgen.pages.view import View
from recordgen.records.field import Measurement, Step

NONE: Final = "none"
_HEAD: Final = ("building", "fault", "kind", "circuit", "load", "room")
_TAIL: Final = ("record", "as_of")
_BASE: Final = f"{BASES_C[0]:g}_degC"

FAULT_COLUMNS: Final = (
    *_HEAD,
    "description",
    "state",
    "open",
    "days_open_d_calculated",
    *(f"{step.replace(' ', '_')}_{what}" for step in STEPS for what in ("date", "by")),
    "missing_steps",
    "what_does_not_fit",
    "cause",
    "notes",
    "photos",
    *_TAIL,
)
STEP_COLUMNS: Final = (
    *_HEAD,
    "step",
    "gap",
    "date",
    "by",
    "what",
    "trace",
    "quantity",
    "value_as_written",
    "between",
    "test_voltage",
    "temperature_degC",
    "insulation_resistance_megohm",
    f"insulation_resistance_megohm_at_{_BASE}_calculated",
    "instrument",
    "instrument_kind",
    "instrument_serial",
    "calibrated",
    "calibration_due",
    "calibration_that_day_calculated",
    "what_does_not_fit",
    *_TAIL,
)


def fault_files(view: View, faults: Iterable[FaultFacts], building: str) -> tuple[DataFile, ...]:
    """Return the files of some faults: of a building, or of all where that is empty."""
    listed = tuple(faults)
    return (
        DataFile(
            paths.fault_list(building),
            csv_text(FAULT_COLUMNS, [_cells(FAULT_COLUMNS, _fault(view, f)) for f in listed]),
        ),
        DataFile(
            paths.fault_steps(building),
            csv_text(
                STEP_COLUMNS, [_cells(STEP_COLUMNS, row) for f in listed for row in _steps(view, f)]
            ),
        ),
    )


def _cells(columns: tuple[str, ...], row: Mapping[str, Cell]) -> list[Cell]:
    return [row.get(column, "") for column in columns]


def _head(facts: FaultFacts) -> dict[str, Cell]:
    fault = facts.fault
    return {
        "building": facts.building,
        "fault": facts.name,
        "kind": fault.kind,
        "circuit": _tag(facts.circuit, facts.building),
        "load": _tag(facts.load, facts.building),
        "room": fault.room or NOT_RECORDED,
    }


def _tag(tag: str, building: str) -> str:
    if not tag:
        return NOT_RECORDED
    return local(tag) if building_of(tag) == building else tag


def _fault(view: View, facts: FaultFacts) -> dict[str, Cell]:
    fault = facts.fault
    row: dict[str, Cell] = {
        **_head(facts),
        "description": fault.description,
        "state": facts.state or NOT_RECORDED,
        "open": "yes" if facts.is_open else "no",
        "days_open_d_calculated": NOT_RECORDED if facts.days is None else facts.days,
        "missing_steps": "; ".join(facts.missing) or NONE,
        "what_does_not_fit": "; ".join(
            item.text for item in gaps(facts, view.loaded(facts.building))
        ).replace("`", "")
        or NONE,
        "cause": fault.cause or NOT_RECORDED,
        "notes": fault.notes or NOT_RECORDED,
        "photos": "; ".join(fault.photos) or NOT_RECORDED,
        "record": str(view.loaded(facts.building).where("faults", facts.name)),
        "as_of": view.portfolio.as_of.isoformat(),
    }
    for name in STEPS:
        steps, key = facts.steps(name), name.replace(" ", "_")
        row[f"{key}_date"] = "; ".join(str(step.date) for step in steps) or NOT_RECORDED
        row[f"{key}_by"] = "; ".join(step.by for step in steps) or NOT_RECORDED
    return row


def _flaws(facts: FaultFacts, index: int) -> str:
    """Return what does not fit of one step."""
    found = [flaw.reason for flaw in facts.flaws if flaw.index == index]
    return "; ".join(found).replace("`", "") or NONE


def _steps(view: View, facts: FaultFacts) -> Iterator[dict[str, Cell]]:
    """Yield a row for each value measured, one for a step without any, one for a missing step."""
    loaded, as_of = view.loaded(facts.building), view.portfolio.as_of.isoformat()
    steps = sorted(enumerate(facts.fault.steps), key=lambda pair: (pair[1].date, pair[0]))
    for index, step in steps:
        row: dict[str, Cell] = {
            **_head(facts),
            "step": step.step,
            "gap": "no",
            "date": step.date.isoformat(),
            "by": step.by,
            "what": step.what or NOT_RECORDED,
            "trace": step.trace or NOT_RECORDED,
            "what_does_not_fit": _flaws(facts, index),
            "record": str(loaded.where("faults", facts.name, "steps", index)),
            "as_of": as_of,
        }
        for measured in step.measured:
            own = measured.instrument or step.instrument
            yield {**row, **_measured(measured), **_instrument(view, facts, step, own)}
        used = {measured.instrument or step.instrument for measured in step.measured}
        if not step.measured or (step.instrument and step.instrument not in used):
            bare = {"quantity": NOT_RECORDED, "value_as_written": NOT_RECORDED}
            yield {**row, **bare, **_instrument(view, facts, step, step.instrument)}
    for missing in facts.missing:
        yield {
            **_head(facts),
            "step": missing,
            "gap": "yes",
            "date": NOT_RECORDED,
            "by": NOT_RECORDED,
            "what": NOT_RECORDED,
            "record": str(loaded.where("faults", facts.name)),
            "as_of": as_of,
        }


def _measured(measured: Measurement) -> dict[str, Cell]:
    found: dict[str, Cell] = {
        "quantity": measured.quantity,
        "value_as_written": measured.value.written,
        "between": measured.between or NOT_RECORDED,
        "test_voltage": measured.test_v or NOT_RECORDED,
        "temperature_degC": NOT_RECORDED,
    }
    if measured.temperature_c is not None:
        found["temperature_degC"] = float(measured.temperature_c)
    value = megohms(measured)
    if value is not None:
        corrected = at_base(measured, BASES_C[0])
        found["insulation_resistance_megohm"] = value
        found[f"insulation_resistance_megohm_at_{_BASE}_calculated"] = (
            "does not follow" if corrected is None else round(corrected, 6)
        )
    return found


def _instrument(view: View, facts: FaultFacts, step: Step, tag: str | None) -> dict[str, Cell]:
    if tag is None:
        return {"instrument": NOT_RECORDED}
    instrument = view.loaded(facts.building).records.instruments[tag]
    return {
        "instrument": tag,
        "instrument_kind": instrument.kind,
        "instrument_serial": instrument.serial or NOT_RECORDED,
        "calibrated": str(instrument.calibrated or NOT_RECORDED),
        "calibration_due": str(instrument.due or NOT_RECORDED),
        "calibration_that_day_calculated": instrument_use(tag, instrument, step.date).words,
    }
