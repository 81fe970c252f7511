from pathlib import Path
from typing import get_args

import pytest

from recordgen.checks import instrument_kind
from recordgen.problems import Problem
from recordgen.records.field import Instrument, Measurement
from tests.checks.running import examples, found_by, told

KINDS = get_args(Instrument.model_fields["kind"].annotation)
HOUSE = """sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    {kind: panelboard, main: lugs, fed_from: UTIL,
     circuits: {1: {device: 20 A, loads: {FAN: {kind: motor}}}}}
instruments:
  TRC-1: {kind: tracer}
  IT-1: {kind: insulation tester}
  RFL-1: {kind: reflectometer}
  BR-1: {kind: cable bridge}
  VT-1: {kind: voltage tester}
  PU-1: {kind: proving unit}
  ANY: {kind: """
# The name of the building stands in line 1, and what follows the instruments in two more.
LINE = HOUSE.count("\n") + 5
ECHO = "echo: {time: 300 ± 5 ns}"
BRIDGE = "bridge: {sound_arm: 3 ohm, faulty_arm: 1 ohm}"
READ = "readings: [{at: 3 ft, values: 70, sensitivity: 4}]"


def traced(folder: Path, purpose: str, *parts: str) -> list[Problem]:
    """Return what is found on a trace whose parts stand in line `LINE` and on."""
    text = f"traces:\n  T-1: {{date: 2026-03-01, by: JD, circuit: LP-1/1, purpose: {purpose},\n"
    lines = ",\n".join(f"    {part}" for part in parts)
    return found_by(instrument_kind, folder, f"{HOUSE}tracer}}\n{text}{lines}}}\n")


def test_the_passing_example(tmp_path: Path) -> None:
    assert traced(tmp_path, "follow a run", *examples(instrument_kind, "Passing"), READ) == []


def test_the_failing_example(tmp_path: Path) -> None:
    (problem,) = traced(tmp_path, "follow a run", *examples(instrument_kind, "Failing"), READ)
    assert told([problem]) == [(LINE, 17, "warning", "instrument-kind")]
    assert problem.message == (
        "T-1: IT-1 is an insulation tester, and readings come from a cable tester or tracer"
    )
    assert problem.subjects == ("home:LP-1/1",)
    assert [place.line for place in problem.related] == [9]


@pytest.mark.parametrize(
    "parts",
    [
        ("instrument: RFL-1", ECHO),
        ("instrument: RFL-1", ECHO, READ),
        ("instrument: TRC-1", ECHO, READ),
        ("instrument: BR-1", BRIDGE),
        ("instrument: TRC-1",),
        (ECHO, BRIDGE, READ),
    ],
)
def test_methods_and_their_instruments(tmp_path: Path, parts: tuple[str, ...]) -> None:
    assert traced(tmp_path, "locate a short", *parts) == []


@pytest.mark.parametrize(
    "parts",
    [
        ("instrument: TRC-1", ECHO),
        ("instrument: RFL-1", BRIDGE),
        ("instrument: RFL-1", READ),
        ("instrument: PU-1", READ, ECHO, BRIDGE),
        ("instrument: VT-1",),
    ],
)
def test_methods_and_instruments_that_cannot_be(tmp_path: Path, parts: tuple[str, ...]) -> None:
    (problem,) = traced(tmp_path, "locate a short", *parts)
    assert problem.code == "instrument-kind"


def test_a_load_that_went_dead_is_shown_by_a_voltage_tester(tmp_path: Path) -> None:
    opened = ("instrument: VT-1", "confirmed_by_opening: yes")
    assert traced(tmp_path, "list what is downstream", *opened, "found: FAN") == []


def test_a_bridge_finds_no_open(tmp_path: Path) -> None:
    (problem,) = traced(tmp_path, "locate an open", "instrument: BR-1", BRIDGE)
    assert told([problem]) == [(LINE + 1, 13, "warning", "bridge-for-open")]


def test_a_distance_in_a_trace_that_looks_for_no_fault(tmp_path: Path) -> None:
    found = traced(tmp_path, "follow a run", "instrument: RFL-1", ECHO, BRIDGE)
    assert [problem.code for problem in found] == ["distance-not-asked"] * 2


def measured(folder: Path, quantity: str, kind: str, *, by_step: bool) -> list[Problem]:
    own, step = ("", ", instrument: ANY") if by_step else (", instrument: ANY", "")
    return found_by(
        instrument_kind,
        folder,
        f"{HOUSE}{kind}}}\n"
        "faults:\n  F-1:\n    {kind: open, circuit: LP-1/1, description: dead, steps: [\n"
        f"    {{step: found, date: 2026-03-01, by: JD{step}, "
        f"measured: {{quantity: {quantity}, value: 5 ohm{own}}}}}]}}\n",
    )


@pytest.mark.parametrize("by_step", [True, False])
@pytest.mark.parametrize(
    ("quantity", "kind"),
    # Common practice: what a contractor's form asks for beside each value.
    [
        ("insulation resistance", "insulation tester"),
        ("trip time", "GFCI tester"),
        ("current", "clamp meter"),
        ("temperature rise", "thermal camera"),
        ("distance", "reflectometer"),
        ("continuity", "multimeter"),
    ],
)
def test_quantities_and_what_measures_them(
    tmp_path: Path, quantity: str, kind: str, *, by_step: bool
) -> None:
    assert measured(tmp_path, quantity, kind, by_step=by_step) == []
    (problem,) = measured(tmp_path / "wrong", quantity, "proving unit", by_step=by_step)
    assert (problem.location.line, problem.code) == (LINE + 1, "instrument-kind")
    assert problem.message.startswith(f"F-1: ANY is a proving unit, and {quantity} is measured")


def test_insulation_is_not_measured_with_a_multimeter(tmp_path: Path) -> None:
    # Its test voltage of a few volts shows nothing: common practice.
    (problem,) = measured(tmp_path, "insulation resistance", "multimeter", by_step=False)
    assert problem.code == "instrument-kind"


def test_every_quantity_and_only_kinds_that_there_are() -> None:
    quantities = get_args(Measurement.model_fields["quantity"].annotation)
    assert set(instrument_kind.MEASURES) == set(quantities)
    named = set().union(*instrument_kind.MEASURES.values(), instrument_kind.OPENED)
    assert named <= set(KINDS)
    assert "proving unit" not in named
