import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.unbalanced_drop import (
    System,
    UnbalancedDrop,
    drop_of_currents,
    source_volts,
    unbalanced_drop,
)
from recordgen.calc.voltage_drop import exact_drop_v
from tests.calc import opendss

ZP, ZN = 0.10 + 0.02j, 0.15 + 0.03j
loads = st.builds(complex, st.floats(0, 2000), st.floats(-500, 1000))


def by_opendss(
    to_neutral: tuple[complex, ...], system: System, between: tuple[complex, ...] = ()
) -> dict[int, complex]:
    """Volts of the panel's nodes: 1, 2, 3 and 4 for the neutral, from the same ohms."""
    if system == "wye":
        commands = [
            opendss.stiff_source("new circuit.c", "src", 120 * math.sqrt(3), 3),
            opendss.four_wire("run", "src", "panel", ZP, ZN),
        ]
    else:
        commands = [
            opendss.stiff_source("new circuit.c", "src.1", 120, 1),
            opendss.stiff_source("new vsource.b", "src.2", 120, 1, 180),
            opendss.three_wire("run", "src", "panel", ZP, ZN),
        ]
    for node, va in enumerate(to_neutral, 1):
        commands.append(opendss.load(f"n{node}", f"panel.{node}.4", 120, va))
    for node, va in enumerate(between, 1):
        other = node % len(to_neutral) + 1
        volts = 240 if system == "split" else 120 * math.sqrt(3)
        commands.append(opendss.load(f"l{node}", f"panel.{node}.{other}", volts, va))
    opendss.run(*commands)
    return opendss.node_volts("panel")


CASES = [
    ("wye", (2400 + 0j, 1200 + 600j, 0j), ()),
    ("wye", (3000 + 1500j, 100 + 0j, 100 + 0j), ()),
    ("wye", (1500 + 0j, 900 + 300j, 2100 - 200j), (1800 + 600j, 0j, 2500 + 0j)),
    ("split", (3600 + 0j, 600 + 300j), ()),
    ("split", (1200 + 0j, 2400 + 900j), (4000 + 0j,)),
]


@pytest.mark.parametrize(("system", "to_neutral", "between"), CASES)
def test_the_same_circuit_in_another_solver(
    system: System, to_neutral: tuple[complex, ...], between: tuple[complex, ...]
) -> None:
    # OpenDSS, loads of constant power; 0.1 % of each drop, and of each voltage far less.
    nodes = by_opendss(to_neutral, system, between)
    result = unbalanced_drop(to_neutral, 120, ZP, ZN, system, line_loads_va=between)
    volts = [nodes[node] - nodes[4] for node in range(1, len(to_neutral) + 1)]
    assert list(result.volts) == pytest.approx(volts, rel=1e-6)
    drops = [120 - abs(volt) for volt in volts]
    assert list(result.drops_v) == pytest.approx(drops, rel=1e-3, abs=1e-4)
    assert result.neutral_drop_v == pytest.approx(abs(nodes[4]), rel=1e-3)


def test_leaving_out_the_neutral_or_the_repeating_misses_what_the_solver_sees() -> None:
    # How far simpler methods are off, so that nobody simplifies this one: without the neutral's
    # drop tens of percent, with currents at nominal volts some percent.
    to_neutral = (2400 + 0j, 1200 + 600j, 0j)
    nodes = by_opendss(to_neutral, "wye")
    true = 120 - abs(nodes[1] - nodes[4])
    no_neutral = unbalanced_drop(to_neutral, 120, ZP, 0, "wye").drops_v[0]
    at_nominal = [
        (load / volt).conjugate()
        for load, volt in zip(to_neutral, source_volts(120, "wye"), strict=True)
    ]
    once = drop_of_currents(at_nominal, 120, ZP, ZN, "wye").drops_v[0]
    assert no_neutral < 0.75 * true
    assert 0.90 * true < once < 0.98 * true


@given(loads)
def test_a_balanced_load_has_no_neutral_current_and_the_three_phase_drop(load: complex) -> None:
    result = unbalanced_drop((load,) * 3, 120, ZP, ZN, "wye")
    angle = math.atan2(load.imag, load.real)
    line = exact_drop_v(
        3 * abs(load), math.cos(angle), 120 * math.sqrt(3), ZP, 3, lagging=angle >= 0
    )
    assert abs(result.neutral_a) < 1e-6
    assert result.drops_v == pytest.approx((line / math.sqrt(3),) * 3, abs=1e-6)


@given(st.floats(0, 4000))
def test_a_balanced_load_on_two_legs_is_one_across_the_line(watts: float) -> None:
    legs = unbalanced_drop((watts / 2, watts / 2), 120, ZP, ZN, "split")
    across = unbalanced_drop((0, 0), 120, ZP, ZN, "split", line_loads_va=(watts,))
    drop = exact_drop_v(watts, 1.0, 240, ZP, 1)
    assert sum(legs.drops_v) == pytest.approx(drop, abs=1e-6)
    assert sum(across.drops_v) == pytest.approx(drop, abs=1e-6)


@given(st.floats(0, 3000))
def test_one_loaded_leg_returns_through_the_neutral(watts: float) -> None:
    result = unbalanced_drop((watts, 0), 120, ZP, ZP, "split")
    assert result.drops_v[0] == pytest.approx(exact_drop_v(watts, 1.0, 120, ZP, 1), abs=1e-6)
    assert abs(result.neutral_a) == pytest.approx(abs(result.currents_a[0]))


def powers(result: UnbalancedDrop, source: tuple[complex, ...]) -> tuple[complex, complex]:
    sent = sum(e * i.conjugate() for e, i in zip(source, result.currents_a, strict=True))
    lost = sum(abs(i) ** 2 * ZP for i in result.currents_a) + abs(result.neutral_a) ** 2 * ZN
    return sent, lost


@given(st.tuples(loads, loads, loads), st.tuples(loads, loads, loads))
def test_power_sent_is_power_taken_and_lost(
    to_neutral: tuple[complex, ...], between: tuple[complex, ...]
) -> None:
    # Conservation of power, active and reactive (Tellegen's theorem).
    result = unbalanced_drop(to_neutral, 120, ZP, ZN, "wye", line_loads_va=between)
    sent, lost = powers(result, source_volts(120, "wye"))
    assert sent == pytest.approx(sum(to_neutral) + sum(between) + lost, abs=1e-4)


def test_neutral_of_two_phases_of_a_wye_carries_as_much_as_they_do() -> None:
    # 20 A each, unity power factor, third phase off: |1 + a²| = 1 (circuit theory).
    a, b, _ = source_volts(120, "wye")
    result = drop_of_currents((a / 6, b / 6, 0), 120, ZP, ZN, "wye")
    assert abs(result.neutral_a) == pytest.approx(20)


def test_neutral_of_two_legs_carries_the_difference() -> None:
    a, b = source_volts(120, "split")
    result = drop_of_currents((a / 6, b / 10), 120, ZP, ZN, "split")
    assert abs(result.neutral_a) == pytest.approx(20 - 12)


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (((1, 1), 120, ZP, ZN, "wye"), "3 loads to neutral, not 2"),
        (((1, 1, 1), 120, ZP, ZN, "split"), "2 loads to neutral, not 3"),
        (((1, 1, 1), 120, ZP, complex("inf"), "wye"), "finite"),
        (((1, 1, 1), 120, -ZP, ZN, "wye"), "resistance"),
        (((1, 1, 1), 0, ZP, ZN, "wye"), "more than 0 V"),
        (((1, 1, 1), 120, ZP, ZN, "delta"), "wye or split"),
        (((1, 1, math.nan), 120, ZP, ZN, "wye"), "finite"),
        (((90_000, 1, 1), 120, ZP, ZN, "wye"), "cannot be supplied"),
    ],
)
def test_what_cannot_be_answered_is_named(arguments: tuple, message: str) -> None:
    with pytest.raises(ValueError, match=message):
        unbalanced_drop(*arguments)


def test_counts_of_currents_and_of_loads_between_lines_are_held() -> None:
    with pytest.raises(ValueError, match="3 currents, not 2"):
        drop_of_currents((1, 1), 120, ZP, ZN, "wye")
    with pytest.raises(ValueError, match="1 loads line to line, not 3"):
        unbalanced_drop((1, 1), 120, ZP, ZN, "split", line_loads_va=(1, 1, 1))
