"""Conductors against devices, in small records.

Expected figures are those of NEC tables 310.16, 250.122 and clauses 110.14(C), 240.4, 240.6(A) as
electricians know them by heart (from memory; the figures of the tables are tested against print in
`tests/calc`).
"""

from pathlib import Path

import pytest

from recordgen.calc.answer import NoValue, Value
from recordgen.calc.study.feeders import ConductorAnswer
from recordgen.calc.study.protecting_device import Protection
from recordgen.portfolio import Portfolio
from tests.network.asking import portfolio

PANEL = "kind: panelboard, main: lugs, system: 208Y/120"
HOT = "insulation: THHN, ambient: 50 C, terminals: 75 C"
NEC = ", code_edition: NEC 2020"


def circuit(tmp_path: Path, text: str, edition: str = NEC) -> ConductorAnswer:
    """Return the answer for a circuit at position 1 of a panel of 208Y/120 V."""
    records = (
        "sources: {UTIL: {kind: utility}}\n"
        f"panels: {{LP: {{{PANEL}, fed_from: UTIL, circuits: {{{text}}}}}}}\n"
    )
    found = portfolio(tmp_path, records, edition)
    (answer,) = found.study.conductors.answers.values()
    return answer


def with_conductors(size: str, device: str = "100 A", loads: str = "none") -> str:
    return f"1: {{device: {device}, conductors: {{{size}}}, loads: {loads}}}"


def answer(found: Portfolio, tag: str) -> ConductorAnswer:
    one = found.study.conductors.of(f"home:{tag}")
    assert isinstance(one, ConductorAnswer)
    return one


def amount(value: object) -> float:
    assert isinstance(value, Value)
    return value.amount


def device(one: ConductorAnswer) -> tuple[str, float, bool]:
    assert isinstance(one.device, Protection)
    return one.device.tag.removeprefix("home:"), one.device.rating_a, one.device.at_load_end


@pytest.mark.parametrize(
    ("conductors", "rating", "ampacity_a", "largest_a", "verdict"),
    [
        # 3/0 copper, 75 °C: 200 A, a standard rating.
        ("size: 3/0 AWG Cu, insulation: THWN-2", 200, 200, 200, "fits"),
        ("size: 3/0 AWG Cu, insulation: THWN-2", 225, 200, 200, "too large"),
        # 500 kcmil copper, 75 °C: 380 A, next standard rating 400 A.
        ("size: 500 kcmil Cu, insulation: THWN-2", 400, 380, 400, "fits"),
        ("size: 500 kcmil Cu, insulation: THWN-2", 450, 380, 400, "too large"),
        # 14, 12, 10 AWG copper: 15, 20, 30 A, whatever their ampacity: 240.4(D).
        ("size: 12 AWG Cu, insulation: THHN, terminals: 75 C", 20, 25, 20, "fits"),
        ("size: 12 AWG Cu, insulation: THHN, terminals: 75 C", 25, 25, 20, "too large"),
        # Three sets of 300 kcmil copper at 75 °C: 855 A; above 800 A no next size up.
        ("size: 300 kcmil Cu, insulation: THWN, parallel: 3", 800, 855, 855, "fits"),
        ("size: 300 kcmil Cu, insulation: THWN, parallel: 3", 1000, 855, 855, "too large"),
        # 90 °C insulation at 50 °C ambient: 130 × 0.82 = 106.6 A, below the 115 A of 75 °C.
        (f"size: 2 AWG Cu, {HOT}", 110, 106.6, 110, "fits"),
        (f"size: 2 AWG Cu, {HOT}", 125, 106.6, 110, "too large"),
        # 4/0 aluminium at 75 °C: 180 A, next standard rating 200 A.
        ("size: 4/0 AWG Al, insulation: XHHW", 200, 180, 200, "fits"),
        # A rating that is no standard one, but not above the ampacity.
        ("size: 6 AWG Cu, insulation: THWN-2, terminals: 75 C", 65, 65, 70, "fits"),
    ],
)  # fmt: skip
def test_ampacity_largest_device_and_verdict(
    tmp_path: Path,
    conductors: str,
    rating: int,
    ampacity_a: float,
    largest_a: float,
    verdict: str,
) -> None:
    one = circuit(tmp_path, with_conductors(conductors, f"{rating} A"))
    assert amount(one.ampacity) == pytest.approx(ampacity_a, abs=0.05)
    assert amount(one.largest_device) == largest_a
    assert one.verdict.word == verdict


def test_what_is_assumed_is_told(tmp_path: Path) -> None:
    one = circuit(tmp_path, with_conductors("size: 3 AWG Cu, insulation: THWN-2", "80 A"))
    assert isinstance(one.ampacity, Value)
    assumed = {i.name: i.value for i in one.ampacity.inputs if i.origin == "assumed"}
    assert assumed["terminals"].startswith("60 °C")
    assert assumed["ambient temperature"] == "30 °C"
    assert "alone in the raceway" in assumed["current-carrying conductors"]
    recorded = circuit(
        tmp_path / "second",
        with_conductors("size: 3 AWG Cu, insulation: THWN-2, terminals: 75 C, ambient: 40 C"),
    )
    assert isinstance(recorded.ampacity, Value)
    names = {i.name for i in recorded.ampacity.inputs if i.origin == "assumed"}
    assert names == {"current-carrying conductors"}


# Breakers of 10 A came with the 2023 edition. 14 AWG of 90 °C at 85 °C ambient: 25 × 0.29 = 7.25 A,
# whose next standard rating is 10 A since then, and was 15 A before.
@pytest.mark.parametrize(
    ("edition", "verdict", "needs"),
    [
        (NEC, "fits", []),
        (", code_edition: NEC 2023", "too large", []),
        ("", "not known", ["building, code_edition: not recorded"]),
    ],
)
def test_the_edition_decides_at_ten_amperes(
    tmp_path: Path, edition: str, verdict: str, needs: list[str]
) -> None:
    hot = with_conductors("size: 14 AWG Cu, insulation: THHN, ambient: 85 C", "15 A")
    one = circuit(tmp_path, hot, edition)
    assert (one.verdict.word, [str(need) for need in one.verdict.needs]) == (verdict, needs)


def test_an_edition_that_is_not_recorded_is_not_asked_for_elsewhere(tmp_path: Path) -> None:
    one = circuit(tmp_path, with_conductors("size: 8 AWG Cu, insulation: THHN", "40 A"), "")
    assert one.verdict.word == "fits"
    assert amount(one.largest_device) == 40


# 100 A on 3 AWG copper: fits terminals of 75 °C, not of 60 °C; 50 A on 8 AWG the same. On 10 AWG
# 30 A fits whatever the insulation is.
@pytest.mark.parametrize(
    ("conductors", "rating", "verdict", "needs"),
    [
        ("size: 3 AWG Cu, insulation: THWN-2", 100, "not known", ["terminals"]),
        ("size: 3 AWG Cu", 100, "not known", ["insulation", "terminals"]),
        ("size: 3 AWG Cu, terminals: 75 C", 100, "not known", ["insulation"]),
        ("size: 3 AWG Cu, insulation: THWN-2", 110, "too large", []),
        ("size: 10 AWG Cu", 30, "fits", []),
        ("size: 10 AWG", 30, "not known", ["size, its metal"]),
        ("size: 10 AWG Cu, insulation: old rubber", 30, "not known", ["insulation"]),
        ("size: 25 mm2 Cu", 30, "not known", []),
        ("insulation: THHN", 30, "not known", ["size"]),
    ],
)
def test_unknown_decides_only_where_it_does(
    tmp_path: Path, conductors: str, rating: int, verdict: str, needs: list[str]
) -> None:
    one = circuit(tmp_path, with_conductors(conductors, f"{rating} A"))
    assert one.verdict.word == verdict
    fields = [need.field for need in one.verdict.needs]
    if "mm2" in conductors:  # the reason names the size
        assert "25 mm²" in one.verdict.needs[0].why
    else:
        assert fields == [f"conductors: {need}" for need in needs]


# 240.4(B)(1): 6 AWG copper at 60 °C carries 55 A: 60 A, but 50 A for several receptacles.
@pytest.mark.parametrize(
    ("loads", "verdict"),
    [
        ("{H-1: {kind: heating, connection: fixed}}", "fits"),
        ("{R-1: {kind: receptacle, quantity: 1}}", "fits"),
        ("{R-1: {kind: receptacle, quantity: 2}}", "too large"),
        ("{R-1: {kind: receptacle}}", "not known"),
        ("{H-1: {kind: heating, connection: plug}, R-1: {kind: receptacle}}", "too large"),
        ("{H-1: {kind: heating}, H-2: {kind: heating}}", "not known"),
        ("unknown", "not known"),
        ("none", "fits"),
    ],
)  # fmt: skip
def test_receptacles_allow_no_next_size_up(tmp_path: Path, loads: str, verdict: str) -> None:
    size = "size: 6 AWG Cu, insulation: THWN-2, terminals: 60 C"
    one = circuit(tmp_path, with_conductors(size, "60 A", loads))
    assert one.verdict.word == verdict
    if verdict == "not known":
        assert [str(need) for need in one.verdict.needs] == ["LP/1, loads: not recorded"]


@pytest.mark.parametrize(
    ("loads", "verdict", "clause", "unless"),
    [
        ("{P-1: {kind: pump, power: 5 hp}}", "own rule", "430.52", ""),
        ("{P-1: {kind: equipment, power: 5 hp}}", "own rule", "430.52", ""),
        ("{C-1: {kind: HVAC, power: 5 kVA}}", "own rule", "440.22", ""),
        ("{W-1: {kind: welder, power: 5 kVA}}", "own rule", "630.12", ""),
        ("{P-1: {kind: pump, power: 5 hp}, L-1: {kind: lighting}}", "too large", "240.4", "430.63"),
        ("{L-1: {kind: lighting}}", "too large", "240.4", ""),
        ("unknown", "too large", "240.4", "430.52"),
    ],
)
def test_loads_with_a_rule_of_their_own(
    tmp_path: Path, loads: str, verdict: str, clause: str, unless: str
) -> None:
    one = circuit(tmp_path, with_conductors("size: 12 AWG Cu", "40 A", loads))
    assert (one.verdict.word, one.verdict.clause) == (verdict, clause)
    assert unless in " ".join(one.verdict.unless)
    assert bool(one.verdict.unless) == bool(unless)


CHAIN = """
sources:
  UTIL: {kind: utility, system: 480Y/277}
  GEN: {kind: generator, system: 480Y/277}
panels:
  MSB:
    kind: switchboard
    system: 480Y/277
    main: {rating: 400 A, poles: 3}
    fed_from: UTIL
    feeder: {size: 500 kcmil Cu, insulation: THWN-2}
    circuits:
      1: {device: {rating: 100 A, poles: 3}}
      2: {device: {rating: 60 A, poles: 3}}
      3: {device: {rating: 125 A, poles: 3}}
      4: {device: {rating: 60 A, poles: 3, kind: switch}, conductors: 3/0 AWG Cu, loads: none}
  GDB:
    kind: switchboard
    system: 480Y/277
    main: lugs
    fed_from: GEN
    feeder: 250 kcmil Cu
    circuits: {1: {device: {rating: 110 A, poles: 3}}}
  EP:
    kind: panelboard
    main: lugs
    fed_from: ATS
    feeder: {size: 1 AWG Cu, insulation: THWN-2, ground: 4 AWG Cu, terminals: 75 C}
  LP:
    kind: panelboard
    system: 208Y/120
    main: {rating: 150 A, poles: 3}
    fed_from: T-1
    feeder: {size: 1/0 AWG Cu, insulation: THWN-2, ground: 6 AWG Cu}
  LPA:
    kind: panelboard
    system: 208Y/120
    main: lugs
    fed_from: LP/feed-through
    feeder: {size: 6 AWG Cu, insulation: THWN-2, ground: 8 AWG Cu, neutral: 8 AWG Cu}
  LPB:
    kind: panelboard
    system: 208Y/120
    main: 40 A
    fed_from: LP/feed-through
    feeder: {size: 6 AWG Cu, insulation: THWN-2}
equipment:
  ATS: {kind: transfer switch, normal_from: MSB/1, emergency_from: GDB/1}
  DS: {kind: disconnect, fed_from: MSB/3, fuses: 100 A}
  T-1: {kind: transformer, fed_from: DS,
    conductors: {size: 3 AWG Cu, insulation: THWN-2, terminals: 75 C}}
  FP: {kind: disconnect, fed_from: MSB/line, fuses: 200 A,
    conductors: {size: 2 AWG Cu, insulation: THWN-2}}
  JB: {kind: junction box, fed_from: MSB/2, conductors: {size: 6 AWG Cu, insulation: THWN-2}}
"""


@pytest.fixture
def chain(tmp_path: Path) -> Portfolio:
    return portfolio(tmp_path, CHAIN, NEC)


@pytest.mark.parametrize(
    ("tag", "protects", "verdict"),
    [
        # Service conductors: the device at their end (230.90).
        ("MSB", ("MSB/main", 400, True), "fits"),
        # Either side of a transfer switch: the larger device.
        ("EP", ("GDB/1", 110, False), "fits"),
        # A switch protects nothing: the main ahead of it does, and is too large for 200 A.
        ("MSB/4", ("MSB/main", 400, False), "too large"),
        # Behind a transformer only the main at the end, and no next size up.
        ("LP", ("LP/main", 150, True), "fits"),
        # Fuses on the way.
        ("T-1", ("DS", 100, False), "fits"),
        # Ahead of the main there is no device but its own.
        ("FP", ("FP", 200, True), "too large"),
        # Feed-through lugs: the main of the panel.
        ("LPA", ("LP/main", 150, False), "too large"),
        ("LPB", ("LP/main", 150, False), "too large"),
        ("JB", ("MSB/2", 60, False), "fits"),
    ],
)
def test_which_device_protects(
    chain: Portfolio, tag: str, protects: tuple[str, float, bool], verdict: str
) -> None:
    one = answer(chain, tag)
    assert device(one) == protects
    assert one.verdict.word == verdict


def test_what_would_allow_a_device_that_is_too_large_is_told(chain: Portfolio) -> None:
    assert answer(chain, "LPA").verdict.unless == ()
    (unless,) = answer(chain, "LPB").verdict.unless
    assert unless.startswith("240.21(B)")
    assert "LPB/main, 40 A" in unless


def test_no_device_is_made_up_for_a_generator(chain: Portfolio) -> None:
    one = answer(chain, "GDB")
    assert isinstance(one.device, NoValue)
    assert one.verdict.word == "not known"
    assert "between the generator and the end of the conductors" in str(one.verdict.needs[0])


def test_a_transformer_secondary_gets_no_next_size_up(tmp_path: Path) -> None:
    # 1 AWG copper at 75 °C carries 130 A: 150 A would be the next size up, which 240.21(C) refuses.
    text = CHAIN.replace("{size: 1/0 AWG Cu, insulation", "{size: 1 AWG Cu, insulation")
    one = answer(portfolio(tmp_path, text, NEC), "LP")
    assert (one.verdict.word, one.verdict.clause) == ("too large", "240.21(C)")
    assert one.verdict.at_most_a == 130


def test_a_main_that_is_not_recorded_may_be_the_smaller_device(tmp_path: Path) -> None:
    text = """
sources: {UTIL: {kind: utility}}
panels:
  MSB: {kind: switchboard, main: 400 A, fed_from: UTIL, circuits: {1: {device: 200 A}}}
  LP: {kind: panelboard, fed_from: MSB/1}
  LPA: {kind: panelboard, main: lugs, fed_from: LP/feed-through, feeder: 6 AWG Cu}
"""
    one = answer(portfolio(tmp_path, text, NEC), "LPA")
    assert device(one) == ("MSB/1", 200, False)
    assert one.verdict.word == "not known"
    assert [str(need) for need in one.verdict.needs] == ["LP, main: not recorded"]


def test_conductors_of_the_circuit_hold_for_what_records_none(tmp_path: Path) -> None:
    text = """
sources: {UTIL: {kind: utility}}
panels:
  MSB: {kind: switchboard, main: 400 A, fed_from: UTIL,
    circuits: {1: {device: 60 A, conductors: 6 AWG Cu}, 2: {device: 60 A}}}
  LP: {kind: panelboard, main: lugs, fed_from: MSB/1}
  LPB: {kind: panelboard, main: lugs, fed_from: MSB/2}
"""
    found = portfolio(tmp_path, text, NEC)
    assert answer(found, "LP") is answer(found, "MSB/1")
    missing = found.study.conductors.of("home:LPB")
    assert isinstance(missing, NoValue)
    assert str(missing.needs[0]) == "LPB, feeder: not recorded"


def test_a_smaller_neutral_is_only_told(chain: Portfolio) -> None:
    assert answer(chain, "LPA").neutral_smaller is True
    assert answer(chain, "EP").neutral_smaller is None


# NEC table 250.122, copper: 15 A 14 AWG, 20 A 12, 60 A 10, 100 A 8, 200 A 6, 400 A 3; aluminium
# two sizes larger: 100 A 6 AWG.
@pytest.mark.parametrize(
    ("conductors", "rating", "word"),
    [
        ("size: 3 AWG Cu, ground: 8 AWG Cu", 100, "large enough"),
        ("size: 3 AWG Cu, ground: 10 AWG Cu", 100, "too small"),
        ("size: 3 AWG Cu, ground: 6 AWG Al", 100, "large enough"),
        ("size: 3 AWG Cu, ground: 8 AWG Al", 100, "not known"),
        ("size: 3 AWG Cu, ground: 8 AWG", 100, "not known"),
        # Full size in each of two raceways: 400 A asks for 3 AWG.
        ("size: 3/0 AWG Cu, parallel: 2, ground: 6 AWG Cu", 400, "too small"),
        ("size: 3/0 AWG Cu, parallel: 2, ground: 3 AWG Cu", 400, "large enough"),
        # Never larger than the circuit's own conductors: 250.122(A).
        ("size: 10 AWG Cu, ground: 10 AWG Cu", 100, "large enough"),
        # Conductors larger than 20 A asks for: 12 AWG grows in proportion to 10 AWG.
        ("size: 10 AWG Cu, ground: 12 AWG Cu", 20, "too small as increased"),
        ("size: 10 AWG Cu, ground: 10 AWG Cu", 20, "large enough"),
        ("size: 12 AWG Cu, ground: 12 AWG Cu", 20, "large enough"),
        # Not at unmarked terminals: 60 A asks for 4 AWG there.
        ("size: 4 AWG Cu, insulation: THWN-2, ground: 10 AWG Cu", 60, "large enough"),
        ("size: 3 AWG Cu, raceway: 1 in EMT", 100, "raceway"),
        ("size: 3 AWG Cu, raceway: 1 in PVC", 100, "not known"),
        ("size: 3 AWG Cu", 100, "not known"),
    ],
)
def test_equipment_grounds(tmp_path: Path, conductors: str, rating: int, word: str) -> None:
    one = circuit(tmp_path, with_conductors(conductors, f"{rating} A"))
    assert one.ground.word == word
    assert bool(one.ground.needs) == (word == "not known")


def test_the_bonding_jumper_of_a_transformer_is_not_judged_as_a_ground(chain: Portfolio) -> None:
    assert answer(chain, "LP").ground.word == "not judged"
    assert answer(chain, "LP").ground.clause == "NEC 250.102(C)"
    assert answer(chain, "EP").ground.word == "large enough"
