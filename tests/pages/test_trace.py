"""The page of a trace: the verdict first, recorded and calculated apart, what is to do next."""

from collections.abc import Mapping

import pytest

from recordgen.pages import trace as trace_pages
from recordgen.pages import traces
from recordgen.pages.page import Page
from recordgen.pages.view import View
from tests.network.asking import portfolio
from tests.pages.reading import Element, read

RECORDS = """
sources: {UTIL: {kind: utility}}
panels:
  LP-1:
    kind: panelboard
    lockable: yes
    main: lugs
    fed_from: UTIL
    circuits:
      14: {device: 20 A, loads: {RC-1: {kind: receptacle}, RC-2: {kind: receptacle}}}
      16: {device: 20 A, loads: {RC-3: {kind: receptacle}}}
cables: {C-1: {kind: coax, trace: T-6, identified: strongest}, C-2: {kind: coax}}
instruments:
  TR-1: {kind: tracer}
  RF-1: {kind: reflectometer, calibrated: 2025-01-10, due: 2026-01-10}
runs:
  RUN-1:
    of: LP-1/14
    trace: T-5
    landmarks:
      - {at: 0 m, what: LP-1}
      - {at: 21 m, what: elbow, underground: yes, depth: 0.5 m}
      - {at: 60 m, what: last pole}
faults:
  F-1:
    kind: short
    description: dark
    circuit: LP-1/14
    steps: [{step: located, date: 2026-10-05, by: JD, trace: T-4}]
traces:
  T-1:
    date: 2026-10-05
    by: JD
    instrument: TR-1
    purpose: identify the breaker
    load: RC-1
    readings:
      - {at: LP-1/14, values: [86, 79, 74], sensitivity: 4, note: flat first}
      - {at: LP-1/16, values: [61, 33, 22], sensitivity: 4}
    concluded_circuit: LP-1/14
    conclusion: fourteen, said JD
    photos: [cover.jpg]
  T-2:
    date: 2026-10-05
    by: JD
    purpose: list what is downstream
    circuit: LP-1/14
    found: [RC-1, RC-3]
    confirmed_by_opening: yes
  T-3: {date: 2026-10-06, by: JD, purpose: locate an open, circuit: LP-1/14}
  T-4:
    date: 2026-10-05
    by: JD
    instrument: RF-1
    purpose: locate a short
    circuit: LP-1/14
    run: RUN-1
    echo:
      from: LP-1
      towards: end
      time: 500 ± 5 ns
      velocity_factor: 0.66 ± 0.01
      conductor_per_route: 1 ± 0.01
    conclusion: at the pole
  T-5:
    date: 2026-10-05
    by: JD
    purpose: follow an underground cable
    run: RUN-1
    transmitter_at: LP-1
    readings:
      - {at: LP-1, values: 78, sensitivity: 4}
      - {at: elbow, values: 70, sensitivity: 4}
  T-6:
    date: 2026-10-05
    by: JD
    purpose: sort a bundle
    readings:
      - {at: C-1, values: 88, sensitivity: 2}
      - {at: C-2, values: 44, sensitivity: 2}
  T-7: {date: 2027-01-05, by: JD, purpose: list what is downstream, circuit: LP-1/16, found: RC-3}
"""


@pytest.fixture(scope="module")
def pages(tmp_path_factory: pytest.TempPathFactory) -> Mapping[str, Page]:
    view = View(portfolio(tmp_path_factory.mktemp("traces"), RECORDS))
    return {page.path: page for kind in (trace_pages, traces) for page in kind.pages(view)}


def page(pages: Mapping[str, Page], tag: str) -> Element:
    return read(pages[f"home/traces/{tag}.html"].html)


def test_a_leaf_page_is_not_in_the_navigation(pages: Mapping[str, Page]) -> None:
    assert {p.path: p.nav for p in pages.values() if p.nav} == {"home/traces.html": "Traces"}


@pytest.mark.parametrize(
    ("tag", "said"),
    [
        ("T-1", "identified The readings point at LP-1/14, leading by 47 of 99."),
        ("T-2", "contradicts the record LP-1/14 was opened and 2 loads went dead; the record has"),
        ("T-3", "not enough Not enough was measured: no place is given."),
        ("T-4", "located The fault lies along"),
        ("T-5", "followed in part The run is shown in part."),
        ("T-6", "identified C-1 stands out from the others, leading by 44 of 99."),
        ("T-7", "not enough That RC-3 hangs on LP-1/16 is not shown."),
    ],
)
def test_the_verdict_comes_first_in_words_and_a_mark(
    pages: Mapping[str, Page], tag: str, said: str
) -> None:
    answer = page(pages, tag).one("rg-answer")
    assert answer.text.startswith(said)
    assert list(answer.of_class("rg-verdict"))


def test_what_was_concluded_and_what_the_readings_say_stand_apart(
    pages: Mapping[str, Page],
) -> None:
    text = page(pages, "T-1").text
    assert "In words recorded fourteen, said JD" in text
    assert "Opened recorded not recorded" in text
    assert "The readings say calculated The readings point at LP-1/14" in text
    assert "open it with the transmitter on" in text.lower()
    assert "cover.jpg" in text
    assert "flat first" in text


def test_every_reading_has_its_sensitivity(pages: Mapping[str, Page]) -> None:
    rows = [e.text for e in page(pages, "T-1").all("tr")]
    assert "LP-1/14 86, 79, 74 4 flat first" in rows


def test_no_point_along_a_run_is_printed_but_a_stretch(pages: Mapping[str, Page]) -> None:
    # 500 ns at a velocity factor of 0.66 are 49.5 m (c × 0.66 × 500 ns / 2, by hand); with what
    # each figure may be off, 47.7 to 51.3 m.
    text = page(pages, "T-4").text
    assert "47.7 to 51.3 m, within the bounds that are recorded" in text
    assert "49.5" not in text
    assert "500 ± 5 ns" in text
    assert "One method alone has it there" in text


def test_the_run_is_drawn_with_what_was_not_shown(pages: Mapping[str, Page]) -> None:
    followed = page(pages, "T-5")
    assert "Not shown: 21 to 60 m" in followed.text
    assert "utility locator" in followed.text
    assert not list(page(pages, "T-1").of_class("rg-strip"))


def test_the_instrument_of_that_day(pages: Mapping[str, Page]) -> None:
    assert "out of calibration RF-1" in page(pages, "T-4").text
    assert "no calibration expected TR-1" in page(pages, "T-1").text


def test_what_rests_on_it(pages: Mapping[str, Page]) -> None:
    rows = [e.text for e in page(pages, "T-2").all("tr")]
    assert any(row.startswith("RC-1 LP-1/14 confirmed") for row in rows)
    assert "Fault F-1, located by it" in page(pages, "T-4").text
    assert "Run RUN-1" in page(pages, "T-5").text
    assert "Cable C-1, identified by it" in page(pages, "T-6").text


def test_a_contradiction_stops(pages: Mapping[str, Page]) -> None:
    (stop,) = page(pages, "T-2").of_class("rg-stop")
    assert "RC-3" in stop.text
    rows = [e.text for e in page(pages, "T-2").all("tr")]
    assert "RC-3 went dead elsewhere LP-1/16" in rows
    assert "not among those found: RC-2" in page(pages, "T-2").text


def test_a_trace_of_a_day_to_come_is_told(pages: Mapping[str, Page]) -> None:
    assert "later than the day of this page" in page(pages, "T-7").text


def test_the_list_by_purpose(pages: Mapping[str, Page]) -> None:
    listed = read(pages["home/traces.html"].html)
    assert [e.text for e in listed.all("h2")] == [
        "Breakers identified",
        "Loads listed by circuit",
        "Opens located",
        "Shorts located",
        "Underground cables followed",
        "Bundles sorted",
    ]
    rows = {e.text.split()[0]: e.text for e in listed.all("tr")}
    assert "bears what was concluded" in rows["T-1"]
    # RC-1 rests on the opening of T-2, which says more.
    assert rows["T-1"].endswith("none")
    assert rows["T-2"].endswith("1 confirmed")
    assert "nothing was concluded none" in rows["T-3"]
    assert "does not bear what was concluded" in rows["T-7"]
