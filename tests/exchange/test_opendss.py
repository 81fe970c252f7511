"""The same records, solved by OpenDSS: a second opinion on every fault current.

Both get the same ohms, so they must agree to 0.1 %; what stays between them is the micro-ohm that a
fault has there, and the stiff source behind a single-phase one. Nothing is compared that our own
study does not give: what it leaves open is left out of the script too.
"""

from pathlib import Path

import pytest

from recordgen.calc.answer import Value
from recordgen.calc.study.distribution import Distribution
from recordgen.calc.study.faults import FaultStudy
from recordgen.exchange.opendss import CircuitScript, circuit_script
from tests.calc.study.fault_records import REFERENCE, distribution
from tests.exchange import opendss

WARM_C = 75.0
SAME = 1e-3


def compared(found: Distribution, source: str, temperature_c: float = WARM_C) -> dict[str, float]:
    """Return `kind at tag` → our fault current over that of OpenDSS, less one."""
    study = FaultStudy(found, temperature_c)
    script = circuit_script(found, source, temperature_c=temperature_c, loads=False)
    opendss.compiled(script)
    off = {}
    for tag, bus in script.buses.items():
        answer = study.at(tag)
        # What the generator supplies is dead in the normal state, and its own largest.
        ours = answer.normal or answer.largest
        measured = {
            "three-phase": (ours.three_phase_a, opendss.three_phase_a),
            "line to line": (ours.line_to_line_a, opendss.line_to_line_a),
            "line to neutral": (ours.line_to_neutral_a, opendss.line_to_neutral_a),
        }
        for kind, (value, by_opendss) in measured.items():
            if isinstance(value, Value):
                off[f"{kind} at {tag}"] = value.amount / by_opendss(bus) - 1
    return off


@pytest.mark.parametrize(
    ("source", "least"),
    [("clinic:UTIL-1", 160), ("clinic:GEN-1", 6), ("workshop:UTIL-L", 14)],
)
def test_the_demo_has_the_fault_currents_that_opendss_finds(
    demo_distribution: Distribution, source: str, least: int
) -> None:
    off = compared(demo_distribution, source)
    assert len(off) >= least, "too few currents compared to prove anything"
    assert {what: ratio for what, ratio in off.items() if abs(ratio) > SAME} == {}


def test_every_panel_of_the_clinic_is_compared_or_says_why_not(
    demo_distribution: Distribution,
) -> None:
    script = circuit_script(demo_distribution, "clinic:UTIL-1", loads=False)
    left_out = {need.tag for need in script.left_out}
    for tag, element in demo_distribution.elements.items():
        if element.kind == "panel" and demo_distribution.path(tag)[0].tag == "clinic:UTIL-1":
            way = {one.tag for one in demo_distribution.path(tag)}
            assert tag in script.buses or way & left_out, tag


def test_the_reference_case(tmp_path: Path) -> None:
    """Worked by hand and solved beforehand: 5,369, 3,235, 2,280 and 347 A at 75 °C."""
    found = distribution(tmp_path, REFERENCE)
    script = circuit_script(found, "home:UTIL", temperature_c=WARM_C, loads=False)
    opendss.compiled(script)
    transformer, panel = script.buses["home:T-1"], script.buses["home:LP"]
    assert opendss.three_phase_a(transformer) == pytest.approx(5369, abs=0.6)
    assert opendss.three_phase_a(panel) == pytest.approx(3235, abs=0.6)
    assert opendss.line_to_neutral_a(panel) == pytest.approx(2280, abs=0.6)
    assert opendss.line_to_neutral_a(script.buses["home:LP/1"]) == pytest.approx(347, abs=0.6)
    assert all(abs(ratio) < SAME for ratio in compared(found, "home:UTIL").values())


TRANSFORMERS = """
sources:
  UTIL:
    {kind: utility, system: 480Y/277, available_fault_current: 18 kA, x_over_r: 4}
panels:
  MSB:
    kind: panelboard
    system: 480Y/277
    fed_from: UTIL
    feeder: {size: 350 kcmil Cu, neutral: 350 kcmil Cu, raceway: PVC, length: 80 ft}
    circuits:
      1-3: {device: {rating: 70 A, poles: 2}}
      2: {device: {rating: 40 A, poles: 1}}
      4-6-8: {device: {rating: 60 A, poles: 3}}
      5-7: {device: {rating: 20 A, poles: 2}}
  TAPPED:
    kind: load centre
    system: 120/240
    fed_from: T-LINES
    feeder: {size: 1 AWG Cu, neutral: 4 AWG Cu, raceway: EMT, length: 40 ft}
  WYE:
    kind: panelboard
    system: 208Y/120
    fed_from: T-WYE
    feeder: {size: 2 AWG Cu, neutral: 2 AWG Cu, raceway: EMT, length: 40 ft}
equipment:
  T-LINES:
    kind: transformer
    fed_from: MSB/1-3
    rating: 25 kVA
    primary: 480 single-phase
    secondary: 120/240
    impedance: 2.4 %
    x_over_r: 1.6
    conductors: {size: 4 AWG Cu, raceway: EMT, length: 60 ft}
  T-NEUTRAL:
    kind: transformer
    fed_from: MSB/2
    rating: 10 kVA
    primary: 277 single-phase
    secondary: 120/240
    impedance: 2.8 %
    x_over_r: 1.2
    conductors: {size: 8 AWG Cu, neutral: 8 AWG Cu, raceway: EMT, length: 60 ft}
  T-WYE:
    kind: transformer
    fed_from: MSB/4-6-8
    rating: 45 kVA
    primary: 480Y/277
    secondary: 208Y/120
    impedance: 3 %
    x_over_r: 1.4
    connection: wye-wye
    conductors: {size: 6 AWG Cu, neutral: 6 AWG Cu, raceway: EMT, length: 60 ft}
  T-TWO:
    kind: transformer
    fed_from: MSB/5-7
    rating: 5 kVA
    primary: 480 single-phase
    secondary: 120 single-phase
    impedance: 3 %
    x_over_r: 1
    conductors: {size: 12 AWG Cu, raceway: EMT, length: 60 ft}
"""


def test_transformers_of_every_connection(tmp_path: Path) -> None:
    """Single-phase from two lines, or from one and neutral; tapped or not; wye-wye with neutral."""
    off = compared(distribution(tmp_path, TRANSFORMERS), "home:UTIL")
    wanted = {"line to neutral at home:TAPPED", "line to line at home:T-NEUTRAL"}
    wanted |= {"line to neutral at home:WYE", "line to line at home:T-TWO"}
    assert wanted <= set(off)
    assert {what: ratio for what, ratio in off.items() if abs(ratio) > SAME} == {}


def test_a_voltage_behind_a_transformer_shifts_no_sum(tmp_path: Path) -> None:
    """Without loads the volts are nominal: 208 between lines, 120 to neutral."""
    script = circuit_script(distribution(tmp_path, REFERENCE), "home:UTIL", loads=False)
    opendss.compiled(script)
    opendss.solve()
    at = opendss.volts(script.buses["home:LP"])
    assert abs(at[1] - at[2]) == pytest.approx(208, rel=SAME)
    assert abs(at[1] - at[4]) == pytest.approx(208 / 3**0.5, rel=SAME)


LOADS = REFERENCE.replace(
    "      1: {device: 20 A, ",
    """      5: {device: 20 A, loads: {HOT: {kind: heating, power: 1.2 kW}}}
      8-10: {device: {rating: 20 A, poles: 2}, loads: {VA: {kind: kitchen, power: 2 kVA}}}
      12:
        device: 20 A
        loads: {PF: {kind: IT, power: 500 W, power_factor: 80 %}, ODD: {kind: pump}}
      1: {device: 20 A, """,
)


def by_load(script: CircuitScript) -> dict[str, str]:
    lines = [line for line in script.text.splitlines() if line.startswith("new load.")]
    return {line.split()[1].removeprefix("load.home_"): line for line in lines}


def test_loads_stand_where_they_are_recorded_and_draw_what_is_recorded(tmp_path: Path) -> None:
    found = distribution(tmp_path, LOADS)
    loads = by_load(circuit_script(found, "home:UTIL"))
    # Odd left: positions 5, 6 on C; 8-10 on A and B... two rows further on, so 8 is A, 10 is B.
    assert "bus1=home_lp.3.4 phases=1" in loads["hot"]
    assert "kw=1.2 kvar=0.0" in loads["hot"]
    assert "kw=0.5 kvar=0.375" in loads["pf"]  # 500 W at 0.8: 625 VA, 3-4-5 triangle
    assert set(loads) == {"hot", "pf"}
    left_out = {str(need) for need in circuit_script(found, "home:UTIL").left_out}
    assert {"VA, power_factor: not recorded", "ODD, power: not recorded"} <= left_out
    assumed = by_load(circuit_script(found, "home:UTIL", power_factor=0.6))
    assert "bus1=home_lp.1.2 phases=1 conn=wye kv=0.208 kw=1.2 kvar=1.6" in assumed["va"]


def test_loads_pull_the_voltage_down(tmp_path: Path) -> None:
    """A heater on C draws its own leg down, and the neutral with it; A hardly moves."""
    found = distribution(tmp_path, LOADS)
    script = circuit_script(found, "home:UTIL")
    opendss.compiled(script)
    opendss.solve()
    at = opendss.volts(script.buses["home:LP"])
    assert abs(at[3] - at[4]) < 208 / 3**0.5 * 0.999
    assert abs(at[1] - at[4]) > 208 / 3**0.5 * 0.999


def test_what_cannot_be_written_is_listed_and_said_in_the_script(tmp_path: Path) -> None:
    text = REFERENCE.replace("    x_over_r: 1.5\n", "").replace("length: 100 ft", "")
    script = circuit_script(distribution(tmp_path, text), "home:UTIL")
    assert [str(need) for need in script.left_out] == ["T-1, x_over_r: not recorded"]
    assert set(script.buses) == {"home:UTIL"}
    assert "! Left out: T-1, x_over_r: not recorded\n" in script.text


def test_names_stay_apart_where_opendss_sees_no_difference(tmp_path: Path) -> None:
    text = REFERENCE + "".join(
        f"  {tag}:\n    {{kind: panelboard, system: 208Y/120, fed_from: T-1, feeder: "
        "{size: 1 AWG Cu, raceway: EMT, length: 10 ft}}\n"
        for tag in ("NP.1", "NP_1")
    )
    script = circuit_script(distribution(tmp_path, text), "home:UTIL")
    names = [bus.name for bus in script.buses.values()]
    assert len(names) == len(set(names)) == 7


def test_only_a_source_begins_a_script(tmp_path: Path) -> None:
    with pytest.raises(ValueError, match="home:LP is no source"):
        circuit_script(distribution(tmp_path, REFERENCE), "home:LP")
