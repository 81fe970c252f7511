"""The JSON Schema that editors check with, by the independent implementation `jsonschema`.

Editors read YAML by its own rules before they check. PyYAML's `safe_load` stands for them here,
with keys and dates as text, as they are in JSON.
"""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from recordgen.records.loader import record_files
from recordgen.records.schema import SCHEMA_FILE, record_file_schema, schema_text

ROOT = Path(__file__).parents[2]
GOOD = sorted(
    file
    for folder in (ROOT / "buildings", ROOT / "tests" / "cases" / "good")
    for file in record_files(folder)
)


def as_editors_read(text: str) -> Any:
    return _plain(yaml.safe_load(text))


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {str(key): _plain(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_plain(inner) for inner in value]
    return value.isoformat() if isinstance(value, dt.date) else value


@pytest.fixture(scope="module")
def schema() -> Draft202012Validator:
    return Draft202012Validator(record_file_schema())


def test_the_file_is_in_step_with_the_models() -> None:
    assert SCHEMA_FILE.read_text(encoding="utf-8") == schema_text(), (
        "write it anew: recordgen schema > recordgen/records/schema.json"
    )


def test_it_is_a_schema_and_names_no_host_of_ours() -> None:
    Draft202012Validator.check_schema(record_file_schema())
    hosts = [line for line in schema_text().splitlines() if "://" in line]
    assert hosts == [' "$schema": "https://json-schema.org/draft/2020-12/schema",']


@pytest.mark.parametrize("file", GOOD, ids=lambda file: file.relative_to(ROOT).as_posix())
def test_good_records_validate(file: Path, schema: Draft202012Validator) -> None:
    errors = list(schema.iter_errors(as_editors_read(file.read_text(encoding="utf-8"))))
    assert not [(list(error.absolute_path), error.message[:200]) for error in errors]


def test_there_are_good_records_to_validate() -> None:
    assert len(GOOD) >= 10


PANEL = "panels: {LP-1: {kind: panelboard, "


@pytest.mark.parametrize(
    "text",
    [
        "building: {name: 14}",
        "building: {name: 2026-01-01, floors: 1}",
        "rooms: {14: {name: yes}, 15: 16, 17: null}",
        PANEL + "name: 14, positions: 42, lockable: yes, neutral_bonded: false}}",
        PANEL + "lockable: 'Yes', former_names: [1, no], positions: '42', main: lugs}}",
        PANEL + "system: , former_names: , circuits: , bus_rating: }}",
        PANEL + "circuits: {14: spare, 2-4-6: {device: 20 A GFCI}, 3A: , 5: {loads: unknown}}}}",
        PANEL + "circuits: {1: {neutral_shared_with: 3, loads: {14: {kind: fan}}}}}}",
        PANEL + "fed_from: unknown}}",
        PANEL + "fed_from: [MSB/1, clinic:MSB/2]}}",
        "traces: {7: {date: 2026-01-01, by: 12, purpose: follow a run, instrument: 12}}",
        "sources: {U: {kind: utility, x_over_r: 6.5}}",
        "rooms:",
    ],
)
def test_what_the_reader_accepts_is_accepted(text: str, schema: Draft202012Validator) -> None:
    assert not [error.message for error in schema.iter_errors(as_editors_read(text))]


@pytest.mark.parametrize(
    "text",
    [
        "panel: {}",
        "[]",
        "building: {use: storage}",
        "building: {name: Depot, adress: east}",
        "panels: {LP 1: {kind: panelboard}}",
        "panels: {LP-1: {}}",
        "panels: {LP-1: {kind: panel}}",
        PANEL + "bus_rating: 225}}",
        PANEL + "bus_rating: 225 V}}",
        PANEL + "positions: many}}",
        PANEL + "positions: -1}}",
        PANEL + "lockable: maybe}}",
        PANEL + "lockable: 1}}",
        PANEL + "colour: grey}}",
        PANEL + "system: 480/277 volts}}",
        PANEL + "feeder: 4/0 copper}}",
        PANEL + "name: [a]}}",
        PANEL + "fed_from: MSB 5}}",
        PANEL + "circuits: {0: spare}}}",
        PANEL + "circuits: {x: spare}}}",
        PANEL + "circuits: {'014': spare}}}",
        PANEL + "circuits: {1: Lights}}}",
        PANEL + "circuits: {1: {device: 20}}}}",
        PANEL + "circuits: {1: {device: 20 A gfi}}}}",
        PANEL + "circuits: {1: {loads: [R-1]}}}}",
        PANEL + "circuits: {1: {loads: {R-1: {kind: lights}}}}}}",
        PANEL + "circuits: {1: {device: {rating: 20 A, pole: 2}}}}}",
        "equipment: {T-1: {kind: transformer, ride_through: 8 min}}",
        "equipment: {TIE: {kind: bus tie, between: [A]}}",
        "traces: {T: {date: 1 May 2026, by: R.T., purpose: follow a run}}",
        "faults: {F: {kind: open, description: dead, steps: [{step: fixed}]}}",
    ],
)
def test_typical_mistakes_are_found_while_typing(text: str, schema: Draft202012Validator) -> None:
    assert list(schema.iter_errors(as_editors_read(text)))


def objects(schema: Any) -> Iterator[dict[str, Any]]:
    if isinstance(schema, dict):
        if schema.get("type") == "object" or "properties" in schema:
            yield schema
        for inner in schema.values():
            yield from objects(inner)
    elif isinstance(schema, list):
        for inner in schema:
            yield from objects(inner)


def test_no_mapping_takes_keys_it_does_not_name() -> None:
    found = [o for o in objects(record_file_schema()) if isinstance(o.get("properties", {}), dict)]
    assert len(found) > 35
    assert all(o["additionalProperties"] is False for o in found)


def test_every_record_is_described() -> None:
    schema = record_file_schema()
    assert all(part.get("description") for part in schema["$defs"].values())
    assert all(
        part.get("description") for name, part in schema["properties"].items() if name != "building"
    )
