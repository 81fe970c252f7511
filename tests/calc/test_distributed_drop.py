import cmath

import pytest
from hypothesis import given
from hypothesis import strategies as st

from recordgen.calc.distributed_drop import Tap, distributed_drop_v
from recordgen.calc.voltage_drop import exact_drop_v
from tests.calc import opendss

Z_KM = 5.2 + 0.2j  # Ω/km, 12 AWG or so
Z = Z_KM / 1000


@given(st.floats(0, 2000), st.floats(1, 60))
def test_one_load_is_a_load_at_the_end(watts: float, metres: float) -> None:
    (drop,) = distributed_drop_v([Tap(metres, watts)], 120, Z_KM, 1)
    assert drop == pytest.approx(exact_drop_v(watts, 1.0, 120, Z * metres, 1), abs=1e-8)


def test_many_small_loads_drop_half_of_what_they_would_at_the_end() -> None:
    # Closed form for an even load: half of the current times the length, at 1/n more for n loads.
    # The drop is so small that the currents are alike (0.1 %).
    count = 200
    taps = [Tap(50 * (n + 1) / count, 120 / count) for n in range(count)]
    lumped = exact_drop_v(120, 1.0, 120, Z * 50, 1)
    even = distributed_drop_v(taps, 120, Z_KM, 1)[-1]
    assert even == pytest.approx(lumped / 2 * (1 + 1 / count), rel=5e-3)


@given(st.lists(st.builds(complex, st.floats(0, 300), st.floats(-50, 50)), min_size=1, max_size=6))
def test_loads_at_one_place_add_up(loads: list[complex]) -> None:
    together = distributed_drop_v([Tap(20, sum(loads))], 120, Z_KM, 1)
    apart = distributed_drop_v([Tap(20, load) for load in loads], 120, Z_KM, 1)
    assert apart == pytest.approx(together * len(loads), abs=1e-8)


def test_a_row_of_loads_against_another_solver() -> None:
    # OpenDSS with the same ohms; 0.1 % of the drop.
    taps = [Tap(10, 300), Tap(25, 500 + 200j), Tap(40, 400 - 100j)]
    commands = [opendss.stiff_source("new circuit.c", "p0.1", 120, 1)]
    start = 0.0
    for number, tap in enumerate(taps, 1):
        z = Z * (tap.distance_m - start)
        start = tap.distance_m
        for conductor in "12":
            # The neutral is node 2, grounded at the source.
            here = f"p{number - 1}.{conductor}" if number > 1 or conductor == "1" else "p0.0"
            commands.append(
                f"new line.s{number}{conductor} bus1={here} bus2=p{number}.{conductor} phases=1 "
                f"length=1 units=none rmatrix=[{z.real!r}] xmatrix=[{z.imag!r}] cmatrix=[0]"
            )
        commands.append(opendss.load(f"l{number}", f"p{number}.1.2", 120, tap.load_va))
    opendss.run(*commands)
    found = []
    for number in (1, 2, 3):
        volts = opendss.node_volts(f"p{number}")
        found.append(120 - abs(volts[1] - volts[2]))
    assert distributed_drop_v(taps, 120, Z_KM, 1) == pytest.approx(found, rel=1e-3)


@pytest.mark.parametrize(
    ("taps", "message"),
    [
        ([], "at least one load"),
        ([Tap(10, 1), Tap(5, 1)], "in order of distance"),
        ([Tap(-1, 1)], "in order of distance"),
        ([Tap(1, cmath.inf)], "finite"),
        ([Tap(10, 1e6)], "cannot be supplied"),
    ],
)
def test_what_cannot_be_answered_is_named(taps: list[Tap], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        distributed_drop_v(taps, 120, Z_KM, 1)
