"""The load flow of small trees: the closed form of two buses, and what must not be answered."""

import cmath
import math
from pathlib import Path

import pytest

from recordgen.calc.answer import NoValue, Value
from recordgen.calc.study.voltage_flow import Arriving
from recordgen.calc.study.voltages import VoltageStudy
from tests.network.asking import portfolio

# 4 AWG copper in PVC, chapter 9 table 9: 0.31 + j0.048 Ω per 1,000 ft at 75 °C.
LINE = """
sources: {UTIL: {kind: utility, system: 480Y/277, available_fault_current: 10 kA, x_over_r: 4}}
panels:
  P:
    kind: switchboard
    system: 480Y/277
    main: lugs
    fed_from: UTIL
    feeder: {size: 4 AWG Cu, raceway: PVC, length: 1000 ft}
    circuits:
      1: {device: {rating: 60 A, poles: 3}, loads: {L: {kind: other, power: 40 kVA,
          power_factor: 80 %}}}
      2: {device: {rating: 60 A, poles: 3}, normal: open, loads: {M: {kind: other, power: 9 kVA}}}
"""


def study(folder: Path, text: str) -> VoltageStudy:
    return portfolio(folder, text, ", code_edition: NEC 2020").study.voltages


def far_end(per_va: complex, va: complex) -> float:
    """Return the voltage over nominal behind an impedance: the closed form of two buses.

    |V|⁴ + (2·Re(Z·S*) - 1)·|V|² + |Z·S|² = 0, the larger root (textbook).
    """
    real = 2 * (per_va * va.conjugate()).real - 1
    root = math.sqrt(real**2 - 4 * abs(per_va * va) ** 2)
    return math.sqrt((-real + root) / 2)


def test_two_buses(tmp_path: Path) -> None:
    source = cmath.rect(480 / math.sqrt(3) / 10_000, math.atan(4))
    per_va = (source + 0.31 + 0.048j) / 480**2
    answer = study(tmp_path, LINE).of("home:P")
    wanted = far_end(per_va, cmath.rect(40_000, math.acos(0.8)))
    assert answer.volts == pytest.approx(480 * wanted, rel=1e-9)
    assert isinstance(answer.below_nominal_percent, Value)
    assert answer.below_nominal_percent.amount == pytest.approx(100 * (1 - wanted))


def test_a_load_without_a_power_factor_takes_the_angle_of_the_way(tmp_path: Path) -> None:
    text = LINE.replace("power: 40 kVA,\n          power_factor: 80 %", "power: 40 kVA")
    found = study(tmp_path, text)
    volts = [found.of("home:P").volts or 0]
    for factor in (60, 80, 90, 95, 98, 99, 100):
        other = LINE.replace("80 %", f"{factor} %")
        volts.append(study(tmp_path / str(factor), other).of("home:P").volts or 0)
    # The worst there is, but for the small angle between the two voltages: 0.1 % is left for it.
    assert volts[0] <= min(volts[1:]) * 1.001
    fixed = type(found.flow)(found.distribution, found.loading, found.stretches, math.acos(0.8))
    arriving = fixed.at("home:P")
    assert isinstance(arriving, Arriving)
    assert arriving.volts == pytest.approx(study(tmp_path / "given", LINE).of("home:P").volts)


def test_two_feeds_any_and_all(tmp_path: Path) -> None:
    circuits = "".join(
        f"      {n}: {{device: {{rating: 60 A, poles: 3}}, conductors: {{size: 4 AWG Cu, "
        "raceway: PVC, length: 100 ft}}\n"
        for n in (3, 4)
    )
    for needs, on_first in (("any", 1.0), ("all", 0.5)):
        text = (
            LINE
            + circuits
            + (f"loads: {{R: {{kind: IT, power: 8 kVA, fed_from: [P/3, P/4], needs: {needs}}}}}\n")
        )
        flow = study(tmp_path / needs, text).flow
        taken = [flow.loads_at(f"home:P/{n}").open_va for n in (3, 4)]
        assert taken == [8000 * on_first, 8000 * (1 - on_first)]


@pytest.mark.parametrize(
    ("tag", "old", "new", "wanted"),
    [
        ("P", "available_fault_current: 10 kA, ", "", "UTIL, available_fault_current: not rec"),
        ("P", ", x_over_r: 4", "", "UTIL, x_over_r: not recorded"),
        ("P", "system: 480Y/277, av", "av", "UTIL, system: not recorded"),
        ("P", "fed_from: UTIL", "fed_from: unknown", "P, fed_from: not recorded"),
        ("P", "raceway: PVC, ", "", "P, raceway: not recorded"),
        ("P", "40 kVA", "4000 kVA", "the voltage collapses"),
        ("P", "kind: utility", "kind: photovoltaic", "an inverter's voltage is not calculated"),
        ("P/2", "", "", "P/2, conductors: not recorded"),
    ],
)
def test_what_cannot_be_told_is_named(
    tmp_path: Path, tag: str, old: str, new: str, wanted: str
) -> None:
    answer = study(tmp_path, LINE.replace(old, new, 1) if old else LINE).of(f"home:{tag}")
    assert isinstance(answer.below_nominal_percent, NoValue)
    assert answer.volts is None
    assert any(wanted in str(need) for need in answer.below_nominal_percent.needs)


def test_a_transformer_may_be_fed_with_other_volts_than_its_own(tmp_path: Path) -> None:
    text = LINE.replace("40 kVA", "1 VA") + (
        "      3: {device: {rating: 60 A, poles: 3}, conductors: {size: 4 AWG Cu, raceway: PVC, "
        "length: 1 ft}}\n"
        "equipment: {T: {kind: transformer, fed_from: P/3, rating: 9 kVA, primary: 460 delta, "
        "secondary: 208Y/120, impedance: 3 %, x_over_r: 1}}\n"
    )
    # Without load: 480 V on 460 V to 208 V.
    assert study(tmp_path, text).of("home:T").volts == pytest.approx(208 * 480 / 460, rel=1e-4)
