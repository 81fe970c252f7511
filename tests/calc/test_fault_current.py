"""Fault currents against symmetrical components by hand and against OpenDSS with explicit faults.

OpenDSS has a mode of its own for studies of faults; it shorts the neutral node too, and so says
nothing of a fault at the end of a neutral.
"""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.conductor_impedance import impedance_per_km
from recordgen.calc.fault_current import (
    line_to_line_fault_a,
    line_to_neutral_fault_a,
    run_zero_sequence_ohm,
    single_phase_fault_a,
    source_impedance_ohm,
    three_phase_fault_a,
)
from recordgen.calc.transformer_impedance import (
    half_winding_impedance_ohm,
    refer,
    transformer_impedance_ohm,
    zero_sequence_ohm,
)
from recordgen.records.conductor_size import ConductorSize
from tests.calc import opendss
from tests.calc.worked_cases import expected, inputs

SAME = 1e-3  # identical inputs: what rounding and the fault's own 0.1 µΩ leave, with room

# 480 V source of 22 kA, X/R 6; 75 kVA to 208Y/120, 3.5 %, X/R 1.5, delta-wye; 100 ft of four
# 1 AWG Cu, then 75 ft of 12 AWG Cu, both in steel (ohms of NEC chapter 9 table 9, 75 °C).
SOURCE_480 = source_impedance_ohm(22_000, 480, 6)
SOURCE = refer(SOURCE_480, 480, 208)
TRANSFORMER = transformer_impedance_ohm(75_000, 208, 3.5, 1.5)
FEEDER = complex(0.16, 0.057) * 0.100
BRANCH = complex(2.0, 0.068) * 0.075

Z1_SECONDARY = SOURCE + TRANSFORMER
Z0_SECONDARY = zero_sequence_ohm("delta-wye", TRANSFORMER)
Z1_PANEL = Z1_SECONDARY + FEEDER
Z0_PANEL = Z0_SECONDARY + run_zero_sequence_ohm(FEEDER, FEEDER)
Z1_END = Z1_PANEL + BRANCH
Z0_END = Z0_PANEL + run_zero_sequence_ohm(BRANCH, BRANCH)


def test_currents_of_a_system_worked_with_complex_ohms_elsewhere() -> None:
    # Worked by hand with complex impedances and with OpenDSS outside of this project: printed to
    # the ampere.
    assert three_phase_fault_a(208, Z1_SECONDARY) == pytest.approx(5369, abs=0.5)
    assert three_phase_fault_a(208, Z1_PANEL) == pytest.approx(3235, abs=0.5)
    assert line_to_neutral_fault_a(208, Z1_PANEL, Z0_PANEL) == pytest.approx(2280, abs=0.5)
    assert line_to_neutral_fault_a(208, Z1_END, Z0_END) == pytest.approx(347, abs=0.5)


@pytest.mark.parametrize(("size", "feet", "ohms"), [("1", 100, FEEDER), ("12", 75, BRANCH)])
def test_the_tables_here_give_the_ohms_of_that_system(size: str, feet: int, ohms: complex) -> None:
    # Same table, so the currents above are those of sizes, raceways and lengths too.
    per_km = impedance_per_km(ConductorSize(size, "AWG", "Cu"), "steel")
    assert per_km * feet * 0.3048 / 1000 == pytest.approx(ohms)


def system(*more: str, connection: str = "delta", source_x0: float = 1.0) -> tuple[str, ...]:
    """Return the same system for OpenDSS: each element with the same ohms or percentages."""
    r_percent, x_percent = (3.5 * part(math.atan(1.5)) for part in (math.cos, math.sin))
    source = (
        "new circuit.c bus1=msb basekv=0.48 phases=3 pu=1 "
        f"z1=[{SOURCE_480.real!r}, {SOURCE_480.imag!r}] z0=[{SOURCE_480.real!r}, {source_x0!r}]"
    )
    transformer = (
        "new transformer.t phases=3 windings=2 buses=(msb, sec.1.2.3.0) "
        f"conns=({connection}, wye) kvs=(0.48, 0.208) kvas=(75, 75) xhl={x_percent!r} "
        f"%rs=({r_percent / 2!r}, {r_percent / 2!r}) %noloadloss=0 %imag=0 ppm_antifloat=0"
    )
    feeder = opendss.four_wire("feeder", "sec", "panel", FEEDER, FEEDER)
    branch = opendss.four_wire("branch", "panel", "end", BRANCH, BRANCH, grounded=False)
    return source, transformer, feeder, branch, *more


def faulted(bus1: str, bus2: str, phases: int = 1) -> float:
    opendss.run(*system(opendss.fault(bus1, bus2, phases)))
    return abs(opendss.amperes("fault.f")[0])


def test_three_phase_faults_in_another_solver() -> None:
    for bus, z1 in (("sec", Z1_SECONDARY), ("panel", Z1_PANEL), ("end", Z1_END)):
        current = three_phase_fault_a(208, z1)
        assert faulted(f"{bus}.1.2.3", f"{bus}.0.0.0", 3) == pytest.approx(current, rel=SAME)


def test_faults_to_neutral_in_another_solver() -> None:
    # At the secondary's terminals the neutral is ground; further on it is node 4.
    for bus, neutral, z1, z0 in (
        ("sec", 0, Z1_SECONDARY, Z0_SECONDARY),
        ("panel", 4, Z1_PANEL, Z0_PANEL),
        ("end", 4, Z1_END, Z0_END),
    ):
        current = line_to_neutral_fault_a(208, z1, z0)
        assert faulted(f"{bus}.1", f"{bus}.{neutral}") == pytest.approx(current, rel=SAME)


def test_faults_between_lines_in_another_solver() -> None:
    for bus, z1 in (("sec", Z1_SECONDARY), ("panel", Z1_PANEL), ("end", Z1_END)):
        current = line_to_line_fault_a(208, z1)
        assert faulted(f"{bus}.1", f"{bus}.2") == pytest.approx(current, rel=SAME)


def test_wye_wye_passes_the_zero_sequence_of_the_source_in_another_solver() -> None:
    upstream = complex(SOURCE_480.real, 0.05)
    fault = opendss.fault("sec.1", "sec.0")
    opendss.run(*system(fault, connection="wye", source_x0=upstream.imag))
    z0 = zero_sequence_ohm("wye-wye", TRANSFORMER, refer(upstream, 480, 208))
    current = line_to_neutral_fault_a(208, Z1_SECONDARY, z0)
    assert abs(opendss.amperes("fault.f")[0]) == pytest.approx(current, rel=SAME)


@pytest.mark.parametrize("neutral", [2, 4])
def test_single_phase_three_wire_in_another_solver(neutral: int) -> None:
    # OpenDSS has transformers with two half windings: this checks how windings, conductors and
    # neutral are put together, not the factors of a half, which both are given.
    winding = transformer_impedance_ohm(50_000, 240, 2.5, 1.2)
    half = half_winding_impedance_ohm(winding)
    base_half = 120**2 / 50_000
    x_half = half.imag / base_half * 100
    # In percent of 50 kVA, a star: x1 for the primary, x2 for each half. One half alone shows
    # x1 + x2, both in series x1 + x2/2. Resistances the same way.
    x2 = 2 * (x_half - winding.imag / (240**2 / 50_000) * 100)
    r2 = 2 * (half.real / base_half - winding.real / (240**2 / 50_000)) * 100
    r1 = half.real / base_half * 100 - r2
    run = 0.03 + 0.005j
    opendss.run(
        opendss.stiff_source("new circuit.c", "hv.1", 2400, 1),
        "new transformer.t phases=1 windings=3 buses=(hv.1.0, sec.1.0, sec.0.2) "
        f"kvs=(2.4, 0.12, 0.12) kvas=(50, 50, 50) %rs=({r1!r}, {r2!r}, {r2!r}) "
        f"xhl={x_half!r} xht={x_half!r} xlt={2 * x2!r} %noloadloss=0 %imag=0 ppm_antifloat=0",
        opendss.three_wire("run", "sec", "panel", run, run),
        opendss.fault("panel.1", f"panel.{neutral}"),
    )
    if neutral == 2:
        current = single_phase_fault_a(240, winding + 2 * run)
    else:
        current = single_phase_fault_a(120, half + 2 * run)
    assert abs(opendss.amperes("fault.f")[0]) == pytest.approx(current, rel=SAME)


def test_a_feeder_from_a_transformer_on_an_unlimited_source() -> None:
    # Case F14, printed to 10 A; two conductors in parallel are divided by whoever calls.
    case = inputs("F14")
    base = case["V"] ** 2 / (case["kVA"] * 1000)
    reactance = math.sqrt(case["Zt"] ** 2 - case["Rt"] ** 2)
    transformer = transformer_impedance_ohm(
        case["kVA"] * 1000, case["V"], case["Zt"] * 100, reactance / case["Rt"]
    )
    assert transformer.real == pytest.approx(case["Rt"] * base)
    run = complex(case["r"], case["x"]) * case["kft"] / case["n"]
    currents = [three_phase_fault_a(case["V"], z) / 1000 for z in (transformer, transformer + run)]
    assert currents == pytest.approx(expected("F14"), abs=0.01)


def test_unlimited_source_gives_full_load_current_over_impedance() -> None:
    # Case F01.
    case = inputs("F01")
    z = transformer_impedance_ohm(case["kVA"] * 1000, case["V"], case["Z"], 1.5)
    assert three_phase_fault_a(case["V"], z) == pytest.approx(expected("F01")[1], rel=1e-3)


impedances = st.builds(complex, st.floats(1e-4, 1), st.floats(1e-4, 1))


@given(impedances, impedances)
def test_a_fault_to_neutral_is_phase_volts_over_the_loop(phase: complex, back: complex) -> None:
    # Ohm's law for the loop, Z + Zn, with an unlimited source.
    z0 = run_zero_sequence_ohm(phase, back)
    loop = 208 / math.sqrt(3) / abs(phase + back)
    assert line_to_neutral_fault_a(208, phase, z0) == pytest.approx(loop)


@given(st.floats(100, 2e5), st.floats(100, 35_000), st.floats(0, 50))
def test_a_source_gives_back_its_fault_current(amps: float, volts: float, ratio: float) -> None:
    assert three_phase_fault_a(volts, source_impedance_ohm(amps, volts, ratio)) == pytest.approx(
        amps
    )


@given(impedances, impedances)
def test_more_conductor_means_less_current(before: complex, more: complex) -> None:
    assert three_phase_fault_a(208, before + more) < three_phase_fault_a(208, before)
    assert line_to_line_fault_a(208, before) == pytest.approx(
        three_phase_fault_a(208, before) * math.sqrt(3) / 2
    )


def test_nothing_is_made_up_where_an_impedance_or_a_voltage_is_missing() -> None:
    with pytest.raises(ValueError, match="needs an impedance"):
        three_phase_fault_a(208, 0j)
    with pytest.raises(ValueError, match="needs an impedance"):
        single_phase_fault_a(120, 0j)
    with pytest.raises(ValueError, match="finite"):
        line_to_line_fault_a(208, complex("inf"))
    with pytest.raises(ValueError, match="resistance"):
        line_to_neutral_fault_a(208, -1 + 0j, 0.1j)
    with pytest.raises(ValueError, match="line voltage"):
        three_phase_fault_a(0, 0.1j)
    with pytest.raises(ValueError, match="fault current"):
        source_impedance_ohm(0, 480, 6)
