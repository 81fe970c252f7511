"""Loads of panels and feeders, worked by hand."""

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from recordgen.calc.connected_load import phase_va
from recordgen.calc.study.load_size import load_size
from recordgen.portfolio import Portfolio
from recordgen.records.supply import Load
from recordgen.records.system import read_system
from tests.network.asking import portfolio

WYE = read_system("208Y/120")
ABOUT = ", code_edition: NEC 2020"


def size(text: dict[str, str], poles: int = 1) -> tuple[float | None, float | None, list[str]]:
    found = load_size("home:L", Load.model_validate(text), WYE, poles)
    return found.va, found.power_factor, [need.field for need in found.needs]


@pytest.mark.parametrize(
    ("record", "poles", "told"),
    [
        ({"kind": "other", "power": "1.2 kVA", "quantity": "3"}, 1, (3600, None, [])),
        # 1,500 W at a power factor of 0.75.
        ({"kind": "IT", "power": "1.5 kW", "power_factor": "75 %"}, 1, (2000, 0.75, [])),
        # A resistance draws no reactive power.
        ({"kind": "heating", "power": "1.5 kW"}, 1, (1500, 1.0, [])),
        ({"kind": "IT", "power": "300 W"}, 1, (300, None, ["power_factor"])),
        # NEC table 430.248 (2014): 1/2 hp at 115 V draws 9.8 A; 430.250: 5 hp at 208 V 16.7 A.
        ({"kind": "motor", "power": "0.5 hp"}, 1, (9.8 * 120, None, [])),
        ({"kind": "motor", "power": "5 hp"}, 3, (16.7 * 208 * 3**0.5, None, [])),
        # NEC 220.14(I), from memory: 180 VA for each outlet.
        ({"kind": "receptacle", "quantity": "4"}, 1, (720, None, [])),
        ({"kind": "receptacle"}, 1, (None, None, ["power, or quantity of outlets"])),
        ({"kind": "other"}, 1, (None, None, ["power"])),
        ({"kind": "motor", "power": "7 hp"}, 3, (None, None, ["power"])),
    ],
    ids=str,
)
def test_what_a_load_draws(
    record: dict[str, str], poles: int, told: tuple[float | None, float | None, list[str]]
) -> None:
    va, factor, needs = size(record, poles)
    assert (va, factor, needs) == (told[0] and pytest.approx(told[0]), told[1], told[2])


def test_a_coffee_maker_on_a_counter_has_no_demand_factor() -> None:
    counter = load_size("h:L", Load.model_validate({"kind": "kitchen", "power": "1 kW"}), WYE, 1)
    fixed = Load.model_validate({"kind": "kitchen", "power": "1 kW", "connection": "fixed"})
    assert (counter.category, load_size("h:L", fixed, WYE, 1).category) == ("other", "kitchen")


RECORDS = """
sources:
  UTIL: {kind: utility, system: 208Y/120}
panels:
  MSB:
    kind: switchboard
    system: 208Y/120
    fed_from: UTIL
    main: 400 A
    circuits: {1: {device: {rating: 100 A, poles: 3}}, 2: {device: {rating: 100 A, poles: 3}}}
  LP-1:
    kind: panelboard
    system: 208Y/120
    fed_from: MSB/1
    main: 100 A
    circuits:
      1: {loads: {R-1: {kind: receptacle, quantity: 60}}}
      2-4: {loads: {AB: {kind: other, power: 3 kVA}}}
      6: {loads: {LIGHT: {kind: lighting, power: 2 kVA}}}
      8: {}
  LP-2:
    kind: panelboard
    system: 208Y/120
    fed_from: MSB/2
    main: 100 A
    circuits:
      1: {loads: {R-2: {kind: receptacle, quantity: 40}}}
      2-4-6: {loads: {M-1: {kind: motor, power: 5 hp}}}
      8: {}
loads:
  BOTH: {kind: IT, power: 1 kVA, fed_from: [LP-1/8, LP-2/8], needs: any}
"""


@pytest.fixture
def home(tmp_path: Path) -> Portfolio:
    return portfolio(tmp_path, RECORDS, ABOUT)


def demand(found: Portfolio, tag: str) -> float:
    loading = found.study.loading.of(f"home:{tag}")
    assert loading.demand is not None
    return loading.demand.demand_va


MOTOR = 16.7 * 208 * 3**0.5


def test_demand_comes_from_the_totals_of_everything_below(home: Portfolio) -> None:
    """NEC 220.44: 10 kVA of receptacles in full, the rest by half, at every level anew.

    LP-1 has 10.8 kVA of receptacles, LP-2 7.2 kVA, together 18 kVA: 14 kVA, less than the two
    demands of 10.4 and 7.2 kVA.
    """
    assert demand(home, "LP-1") == pytest.approx(10_400 + 3000 + 2000 + 1000)
    assert demand(home, "LP-2") == pytest.approx(7200 + MOTOR + 1000)
    # What both panels feed counts once.
    assert demand(home, "MSB") == pytest.approx(14_000 + 3000 + 2000 + 1000 + MOTOR)


def test_sizing_has_continuous_load_and_largest_motor_at_125_percent(home: Portfolio) -> None:
    """NEC 215.2(A)(1), 430.24: a quarter of 2 kVA of lighting, a quarter of the motor."""
    loading = home.study.loading.of("home:MSB")
    expected = demand(home, "MSB") + 500 + MOTOR / 4
    assert loading.sizing_a == pytest.approx(expected / (208 * 3**0.5))


def test_phases_add_up(home: Portfolio) -> None:
    """A: 10.8 kVA; A and B: 3 kVA in halves; C: 2 kVA; A: 1 kVA of BOTH."""
    parts = home.study.loading.parts("home:LP-1")
    assert parts is not None
    assert phase_va(parts, 3) == {"A": 13_300, "B": 1500, "C": 2000}
    whole = home.study.loading.parts("home:MSB")
    assert whole is not None
    # BOTH stands on each of its feeds.
    carried = home.study.loading.carried["home:MSB"].connected_va
    assert sum(phase_va(whole, 3).values()) == pytest.approx(carried + 1000)


def test_what_is_not_recorded_is_said(tmp_path: Path) -> None:
    light = "{loads: {LIGHT: {kind: lighting, power: 2 kVA}}}"
    text = RECORDS.replace(", power: 3 kVA", "").replace(light, "{loads: unknown}")
    found = portfolio(tmp_path, text, ABOUT)
    needs = found.study.loading.of("home:MSB").needs
    assert [str(need) for need in needs] == [
        "AB, power: not recorded",
        "LP-1/6, loads: not recorded",
    ]


def test_without_an_edition_there_is_no_demand(tmp_path: Path) -> None:
    loading = portfolio(tmp_path, RECORDS).study.loading.of("home:MSB")
    assert loading.demand is None
    assert [need.field for need in loading.needs] == ["code_edition"]


def test_a_circuit_that_stands_open_carries_nothing(tmp_path: Path) -> None:
    text = RECORDS.replace("6: {loads", "6: {normal: open, loads")
    found = portfolio(tmp_path, text, ABOUT)
    assert demand(found, "LP-1") == pytest.approx(10_400 + 3000 + 1000)


KINDS = ("receptacle", "lighting", "motor", "HVAC", "heating", "kitchen", "other", "EV")
LOADS = st.lists(
    st.tuples(st.sampled_from(KINDS), st.integers(1, 9000), st.booleans()), min_size=1, max_size=8
)


@settings(max_examples=40, deadline=None)
@given(LOADS)
def test_one_more_load_never_lowers_what_a_feeder_carries(
    tmp_path_factory: pytest.TempPathFactory, loads: list[tuple[str, int, bool]]
) -> None:
    before, after = (
        _feeder(tmp_path_factory.mktemp("f"), some).study.loading.of("home:MSB")
        for some in (loads[:-1], loads)
    )
    assert before.demand is not None
    assert after.demand is not None
    assert after.demand.demand_va >= before.demand.demand_va - 1e-6
    assert (after.sizing_a or 0) >= (before.sizing_a or 0) - 1e-6
    # Nothing counts with more than 125 %.
    counted = sum(line.counted_va for line in after.demand.lines)
    assert after.demand.sizing_va <= 1.25 * counted + 1e-6
    parts = _feeder(tmp_path_factory.mktemp("g"), loads).study.loading.parts("home:MSB")
    assert parts is not None
    assert sum(phase_va(parts, 3).values()) == pytest.approx(sum(va for _, va, _ in loads))


def _feeder(folder: Path, loads: list[tuple[str, int, bool]]) -> Portfolio:
    circuits = "\n".join(
        f"      {2 * n + 1}: {{loads: {{L-{n}: {{kind: {kind}, power: {va} VA, connection: fixed, "
        f"continuous: {'yes' if continuous else 'no'}}}}}}}"
        for n, (kind, va, continuous) in enumerate(loads)
    )
    head = RECORDS[: RECORDS.index("  LP-1:")]
    panel = "  LP:\n    kind: panelboard\n    system: 208Y/120\n    fed_from: MSB/1\n"
    panel += f"    circuits:\n{circuits}\n" if circuits else ""
    return portfolio(folder, head + panel, ABOUT)


@pytest.mark.parametrize(
    ("said", "va"),
    [("", 9000), (", heating_with_cooling: yes", 9000), (", heating_with_cooling: no", 5000)],
)
def test_heating_and_cooling_that_never_run_together(tmp_path: Path, said: str, va: int) -> None:
    """NEC 220.60, from memory: of loads that never run together the larger counts."""
    text = """
sources: {UTIL: {kind: utility, system: 208Y/120}}
panels:
  LP:
    kind: panelboard
    system: 208Y/120
    fed_from: UTIL
    circuits:
      1-3-5: {loads: {HEAT: {kind: heating, power: 4 kVA}, COOL: {kind: HVAC, power: 5 kVA}}}
"""
    found = portfolio(tmp_path, text, f"{ABOUT}{said}")
    assert demand(found, "LP") == pytest.approx(va)


@pytest.mark.parametrize(
    ("needs", "feeds", "on_one", "missing"),
    [
        ("any", "[LP-1/8, LP-2/8]", 1000, []),
        # Legs of one panel share it.
        ("all", "[LP-1/8, LP-1/10]", 500, []),
        # Which of two panels gives how much is not recorded.
        ("all", "[LP-1/8, LP-2/8]", 0, ["power"]),
    ],
)
def test_what_each_feed_of_a_load_carries(
    tmp_path: Path, needs: str, feeds: str, on_one: int, missing: list[str]
) -> None:
    text = RECORDS.replace("[LP-1/8, LP-2/8], needs: any", f"{feeds}, needs: {needs}")
    if "LP-1/10" in feeds:
        text = text.replace("      8: {}\n  LP-2", "      8: {}\n      10: {}\n  LP-2")
        text = text.replace("      8: {}\nloads", "      8: {loads: none}\nloads")
    found = portfolio(tmp_path, text, ABOUT)
    carried = found.study.loading.carried
    assert carried["home:LP-1/8"].connected_va == on_one
    assert [need.field for need in carried["home:LP-1/8"].needs] == missing
    # What feeds both has all of it.
    both = "home:LP-1" if "LP-1/10" in feeds else "home:MSB"
    assert carried[both].needs == ()
    assert carried["home:MSB"].connected_va == pytest.approx(
        (60 + 40) * 180 + 3000 + 2000 + 1000 + MOTOR
    )
