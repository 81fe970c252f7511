"""One answer from any trace: each purpose, borne or not, and what it says to do next.

The rules behind are tested with their own modules; here it is held that they are asked, that what
was concluded is held against them, and that nothing they say is lost.
"""

from pathlib import Path

import pytest

from recordgen.evidence.run_places import DIGGING
from recordgen.evidence.trace_answer import (
    BreakerShown,
    CableShown,
    LoadsShown,
    StretchShown,
    TraceVerdict,
)
from tests.network.asking import portfolio

RECORDS = """
sources: {UTIL: {kind: utility}}
panels:
  DP-1: {kind: panelboard, fed_from: UTIL, circuits: {1: {device: 60 A}, 2: {device: 20 A}}}
  LP-1:
    kind: panelboard
    fed_from: DP-1/1
    circuits:
      14: {device: 20 A, loads: {RC-1: {kind: receptacle}, RC-2: {kind: receptacle}}}
      16: {device: 20 A, loads: {RC-3: {kind: receptacle}}}
loads:
  LAMP: {kind: lighting, fed_from: unknown}
cables: {C-1: {kind: coax}, C-2: {kind: coax}, %s}
runs:
  RUN-1:
    of: LP-1/14
    landmarks:
      - {at: 0 m, what: LP-1}
      - {at: 21 m, what: elbow, underground: yes, depth: 0.5 m}
      - {at: 60 m, what: last pole}
%s
traces:
  T-1: {date: 2026-10-05, by: JD, %s}
"""


def asked(folder: Path, trace: str, *, cables: str = "", more: str = "") -> TraceVerdict:
    found = portfolio(folder, RECORDS % (cables, more, trace))
    assert found.trace_verdicts.of("home:T-1") is found.trace_verdicts.of("home:T-1")
    return found.trace_verdicts.of("home:T-1")


def read(*places: tuple[str, object], sensitivity: int = 4) -> str:
    each = (f"{{at: {at}, values: {values}, sensitivity: {sensitivity}}}" for at, values in places)
    return f"readings: [{', '.join(each)}]"


BREAKER = "purpose: identify the breaker, load: RC-1"
CLEAR = read(("LP-1/14", "[86, 79, 74]"), ("LP-1/16", "[61, 33, 22]"))
TIE = read(("LP-1/14", "78"), ("LP-1/16", "76"))


@pytest.mark.parametrize(
    ("trace", "word", "bears"),
    [
        (f"{BREAKER}, {CLEAR}", "identified", "nothing concluded"),
        (f"{BREAKER}, {CLEAR}, concluded_circuit: LP-1/14", "identified", "bears"),
        (f"{BREAKER}, {CLEAR}, concluded_circuit: LP-1/16", "identified", "does not bear"),
        (f"{BREAKER}, {TIE}, concluded_circuit: LP-1/14", "ambiguous", "does not bear"),
        (f"{BREAKER}, concluded_circuit: LP-1/14", "not enough", "does not bear"),
        (
            f"{BREAKER}, {TIE}, concluded_circuit: LP-1/14, confirmed_by_opening: yes",
            "confirmed",
            "bears",
        ),
        (
            f"{BREAKER}, {TIE}, concluded_circuit: LP-1/16, confirmed_by_opening: yes",
            "contradicts the record",
            "bears",
        ),
    ],
)
def test_a_breaker(tmp_path: Path, trace: str, word: str, bears: str) -> None:
    found = asked(tmp_path, trace)
    assert (found.word, found.bears) == (word, bears)
    assert isinstance(found.shows, BreakerShown)
    assert found.by_opening == ("confirmed_by_opening" in trace)
    if word == "identified":
        assert found.shows.breaker == "home:LP-1/14"
        assert found.shows.margin is not None
        assert found.measure_next


def test_an_opening_and_the_readings_are_told_apart(tmp_path: Path) -> None:
    trace = f"{BREAKER}, {CLEAR}, concluded_circuit: LP-1/16, confirmed_by_opening: yes"
    shows = asked(tmp_path, trace).shows
    assert isinstance(shows, BreakerShown)
    assert (shows.breaker, shows.by_readings) == ("home:LP-1/16", "home:LP-1/14")


BUNDLE = "purpose: sort a bundle, readings: [%s]"
SORTED = BUNDLE % ", ".join(
    f"{{at: C-{n}, values: {value}, sensitivity: 2}}" for n, value in ((1, 88), (2, 44))
)


@pytest.mark.parametrize(
    ("trace", "cables", "bears"),
    [
        (SORTED, "", "nothing concluded"),
        (f"{SORTED}, concluded_cable: C-1", "", "bears"),
        (f"{SORTED}, concluded_cable: C-2", "", "does not bear"),
        (SORTED, "C-3: {kind: coax, trace: T-1, identified: strongest}", "does not bear"),
        (SORTED, "C-3: {kind: coax, trace: T-1}", "nothing concluded"),
    ],
)
def test_a_bundle(tmp_path: Path, trace: str, cables: str, bears: str) -> None:
    found = asked(tmp_path, trace, cables=cables)
    assert (found.word, found.bears) == ("identified", bears)
    assert found.shows == CableShown("C-1", 44)


# 21 m is where the elbow is: the fall lies beside it, underground.
FALLS = read(*((f"{10 * n} m", value) for n, value in enumerate((78, 77, 75, 20, 18, 17))))
LEVEL = read(*((f"{at} m", 75) for at in range(0, 60, 10)))
OPEN = "purpose: locate an open, connection: dead conductor with remote return, run: RUN-1"
SHORT = OPEN.replace("an open", "a short")


def test_a_fault_that_the_readings_locate(tmp_path: Path) -> None:
    found = asked(tmp_path, f"{OPEN}, {FALLS}, conclusion: near the elbow")
    assert (found.word, found.bears) == ("located", "bears")
    assert isinstance(found.shows, StretchShown)
    assert found.shows.stretch is not None
    assert 10 < found.shows.stretch.low_m < found.shows.stretch.high_m <= 30
    assert found.shows.confidence_percent == 90
    assert found.shows.nearest_landmark == "elbow"
    assert DIGGING in found.cautions
    assert DIGGING not in found.reasons


@pytest.mark.parametrize(
    ("trace", "word", "bears"),
    [
        (f"{OPEN}, {LEVEL}", "no clear drop", "nothing concluded"),
        # Words may say just that there is no drop.
        (f"{OPEN}, {LEVEL}, conclusion: no drop", "no clear drop", "words only"),
        (f"{OPEN}, conclusion: at the elbow", "not enough", "does not bear"),
        (OPEN, "not enough", "nothing concluded"),
    ],
)
def test_a_fault_without_a_place(tmp_path: Path, trace: str, word: str, bears: str) -> None:
    found = asked(tmp_path, trace)
    assert (found.word, found.bears) == (word, bears)
    assert isinstance(found.shows, StretchShown)
    assert found.shows.stretch is None
    assert found.reasons
    assert found.measure_next


def test_a_fault_said_to_be_located_by_it_is_a_conclusion(tmp_path: Path) -> None:
    step = "{step: located, date: 2026-10-05, by: JD, trace: T-1}"
    fault = f"faults: {{F-1: {{kind: open, description: dark, steps: [{step}]}}}}"
    assert asked(tmp_path, f"{OPEN}, {LEVEL}", more=fault).bears == "does not bear"


# 500 ns at a velocity factor of 0.66 are 49.5 m: c × 0.66 × 500 ns / 2, by hand.
ECHO = (
    "echo: {from: LP-1, towards: end, time: 500 ± 5 ns, velocity_factor: 0.66 ± 0.01, "
    'conductor_per_route: "1 ± 0.01"}'
)
# Q / (P + Q) × loop = 1/4 × 200 m = 50 m, by hand.
BRIDGE = (
    "bridge: {from: LP-1, towards: end, sound_arm: 3 ± 0.03 ohm, faulty_arm: 1 ± 0.01 ohm, "
    'loop: 200 ± 2 m, faulty_length: 100 ± 1 m, conductor_per_route: "1 ± 0.01"}'
)


def stretch_of(found: TraceVerdict) -> tuple[float, float]:
    assert isinstance(found.shows, StretchShown)
    assert found.shows.stretch is not None
    return found.shows.stretch.low_m, found.shows.stretch.high_m


def test_an_echo_and_a_bridge_are_held_together(tmp_path: Path) -> None:
    found = asked(tmp_path, f"{SHORT}, {ECHO}, {BRIDGE}, conclusion: short")
    assert (found.word, found.bears) == ("located", "bears")
    low_m, high_m = stretch_of(found)
    assert 47.5 < low_m < 49.5
    assert 50 < high_m < 51.5
    assert isinstance(found.shows, StretchShown)
    assert [one.method for one in found.shows.by_method] == ["reflectometer", "bridge"]
    assert found.shows.confidence_percent is None


def test_one_method_alone_says_so(tmp_path: Path) -> None:
    found = asked(tmp_path, f"{SHORT}, {ECHO}")
    assert found.word == "located"
    assert any("One method alone" in caution for caution in found.cautions)
    assert any("another method" in text for text in found.measure_next)


def test_methods_that_disagree_give_no_place(tmp_path: Path) -> None:
    found = asked(tmp_path, f"{SHORT}, {FALLS}, {ECHO}, conclusion: short")
    assert (found.word, found.bears) == ("methods disagree", "words only")
    assert isinstance(found.shows, StretchShown)
    assert found.shows.stretch is None
    assert len(found.shows.by_method) == 2


@pytest.mark.parametrize(
    ("wrong", "right", "said"),
    [
        ("500 ± 5 ns", "500 ns", "the uncertainty of `time` is not recorded"),
        (", velocity_factor: 0.66 ± 0.01", "", "`velocity_factor` is not recorded"),
        ("from: LP-1, ", "", "`from` is not recorded"),
        ("LP-1", "the gate", 'where "the gate" is along the run is not recorded'),
        ("towards: end, ", "", "`towards` is not recorded"),
        ("0.66 ± 0.01", "0.99 ± 0.05", "a velocity factor is at most 1"),
        ("1 ± 0.01", "1", "the uncertainty of `conductor_per_route` is not recorded"),
    ],
)
def test_an_echo_without_its_bounds_is_no_place(
    tmp_path: Path, wrong: str, right: str, said: str
) -> None:
    found = asked(tmp_path, f"{SHORT}, {ECHO.replace(wrong, right)}, conclusion: short")
    assert (found.word, found.bears) == ("not enough", "does not bear")
    assert any(said in reason for reason in found.reasons), found.reasons
    assert isinstance(found.shows, StretchShown)
    assert (found.shows.stretch, found.shows.by_method) == (None, ())


WHOLE = (("LP-1", 78), ("10 m", 75), ("elbow", 71), ("32 m", 70), ("46 m", 68), ("last pole", 66))


@pytest.mark.parametrize(
    ("count", "word", "bears"),
    [
        (6, "followed", "bears"),
        (3, "followed in part", "bears in part"),
        (1, "not enough", "does not bear"),
    ],
)
def test_a_run_that_was_followed(tmp_path: Path, count: int, word: str, bears: str) -> None:
    head = "purpose: follow a run, run: RUN-1, conclusion: straight"
    found = asked(tmp_path, f"{head}, {read(*WHOLE[:count])}")
    assert (found.word, found.bears) == (word, bears)
    assert DIGGING in found.cautions


LIST = "purpose: list what is downstream, circuit: LP-1/14"


def test_loads_that_went_dead(tmp_path: Path) -> None:
    found = asked(tmp_path, f"{LIST}, found: [RC-1, RC-2], confirmed_by_opening: yes")
    assert (found.word, found.bears, found.by_opening) == ("confirmed", "bears", True)
    assert isinstance(found.shows, LoadsShown)
    assert [one.agrees for one in found.shows.found] == ["on this circuit"] * 2
    assert found.shows.not_found == ()


def test_what_is_recorded_there_and_was_not_found(tmp_path: Path) -> None:
    found = asked(tmp_path, f"{LIST}, found: RC-1, confirmed_by_opening: yes")
    assert isinstance(found.shows, LoadsShown)
    assert found.shows.not_found == ("home:RC-2",)
    assert any("not among those found: RC-2" in reason for reason in found.reasons)
    assert found.measure_next == ("look at RC-2 while it is open: on this circuit or on another",)


def test_what_is_recorded_elsewhere_is_a_contradiction(tmp_path: Path) -> None:
    found = asked(tmp_path, f"{LIST}, found: [RC-1, RC-3, LAMP], confirmed_by_opening: yes")
    assert (found.word, found.bears) == ("contradicts the record", "bears")
    assert isinstance(found.shows, LoadsShown)
    assert [one.load for one in found.shows.elsewhere] == ["home:RC-3"]
    assert "RC-3 was found here, and the record has it on LP-1/16" in found.reasons
    assert found.shows.found[2].agrees == "source not recorded"


def test_what_hangs_further_down_contradicts_nothing(tmp_path: Path) -> None:
    at_feeder = LIST.replace("LP-1/14", "DP-1/1")
    found = asked(tmp_path, f"{at_feeder}, found: [RC-1, RC-3], confirmed_by_opening: yes")
    assert found.word == "confirmed"
    assert isinstance(found.shows, LoadsShown)
    assert {one.agrees for one in found.shows.found} == {"further down"}
    assert any("It feeds LP-1" in caution for caution in found.cautions)


@pytest.mark.parametrize(
    ("places", "word", "bears"),
    [
        ((), "not enough", "does not bear"),
        ((("RC-1", 74), ("RC-2", 70)), "not enough", "does not bear"),
        ((("RC-1", 74), ("RC-2", 70), ("RC-3", 20)), "shown", "bears"),
        ((("RC-1", 74), ("RC-2", 30), ("RC-3", 20)), "shown in part", "bears in part"),
        # At the panel the signal of the circuit is: that is nothing to compare with.
        ((("RC-1", 74), ("RC-2", 70), ("LP-1/14", 80)), "not enough", "does not bear"),
    ],
)
def test_a_list_by_its_readings(
    tmp_path: Path, places: tuple[tuple[str, object], ...], word: str, bears: str
) -> None:
    found = asked(tmp_path, f"{LIST}, found: [RC-1, RC-2], {read(*places)}")
    assert (found.word, found.bears, found.by_opening) == (word, bears, False)
    assert any("open the circuit" in text for text in found.measure_next) == (bears != "bears")


@pytest.mark.parametrize(
    ("trace", "said"),
    [
        ("purpose: list what is downstream, found: RC-1", "the circuit is not recorded"),
        (LIST, "no load is recorded as found"),
    ],
)
def test_a_list_that_lists_nothing(tmp_path: Path, trace: str, said: str) -> None:
    found = asked(tmp_path, trace)
    assert (found.word, found.bears) == ("not enough", "nothing concluded")
    assert said in found.reasons
