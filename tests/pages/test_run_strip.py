"""The drawing of a run: nothing is lost, nothing overlaps, and what is unknown says so."""

import datetime as dt
from itertools import combinations, pairwise
from typing import Any

import jinja2
import pytest
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser

from recordgen.evidence.run_places import Stretch, places
from recordgen.evidence.run_readings import run_readings
from recordgen.pages.run_ground import ground_parts
from recordgen.pages.run_strip import bands_of, run_strip
from recordgen.pages.strip_geometry import WIDTH, Box, tick_values
from recordgen.pages.strip_parts import Band, Strip
from recordgen.records.field import Reading, Run, Trace
from recordgen.site.offline import HERE
from tests.pages.reading import Element, read
from tests.pages.strip_cases import strips

MANY = settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])


def template() -> Any:
    environment = jinja2.Environment(
        loader=jinja2.PackageLoader("recordgen.pages"),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    return environment.get_template("run_strip.html").module


def html(strip: Strip) -> str:
    return str(template().strip(strip))


def parsed(strip: Strip) -> Element:
    return read(html(strip))


def run_of(*marks: dict[str, str]) -> Run:
    return Run.model_validate({"of": "LP-1/3", "landmarks": marks})


def labels(strip: Strip) -> list[Box]:
    """Return the boxes of every text that has a place of its own on the drawing."""
    drawn = [mark.label_box for mark in strip.numbered if mark.label_box]
    drawn += [part.label_box for part in strip.grounds]
    drawn += [one.label_box for one in strip.readings if one.label_box]
    if strip.drawing:
        drawn += [band.label_box for band in strip.bands]
    return drawn


@MANY
@given(strips())
def test_no_label_overlaps_another_or_leaves_the_drawing(strip: Strip) -> None:
    boxes = labels(strip)
    assert [pair for pair in combinations(boxes, 2) if pair[0].overlaps(pair[1])] == []
    for box in boxes:
        assert strip.drawing is not None
        assert box.left >= 0
        assert box.right <= WIDTH + 0.1
        assert box.top >= 0
        assert box.bottom <= strip.drawing.height


@MANY
@given(strips())
def test_everything_is_drawn_or_listed_with_a_reason(strip: Strip) -> None:
    text = parsed(strip).text
    for mark in strip.landmarks:
        assert (mark.x is None) == (mark.at == "place not recorded" or strip.drawing is None)
        assert mark.what in text
    for one in strip.readings:
        assert (one.x is None) == (bool(one.why) or strip.drawing is None)
        assert one.values in text
        assert one.why in text
    for band in strip.bands:
        assert band.words in text


@MANY
@given(strips())
def test_what_lies_further_along_is_drawn_further_right(strip: Strip) -> None:
    for things in (strip.landmarks, strip.readings):
        drawn = [(_metres(one.at), one.x) for one in things if one.x is not None]
        for (at, x), (other_at, other_x) in combinations(drawn, 2):
            if at - other_at > 0.5:  # readings are told to the nearest half unit
                assert x >= other_x


def _metres(told: str) -> float:
    number, unit, *_ = told.replace("(", " ").split()
    return float(number) * {"ft": 0.3048, "m": 1, "in": 0.0254, "cm": 0.01}[unit]


@given(st.floats(-50, 1e6), st.floats(0.01, 1e6))
def test_ticks_are_round_and_few(low: float, span: float) -> None:
    values = tick_values(low, low + span)
    assert len(values) <= 6
    slack = 1e-5 + 1e-9 * span
    assert all(low - slack <= value <= low + span + slack for value in values)
    steps = {round(b - a, 4) for a, b in pairwise(values)}
    assert len(steps) <= 1


def test_the_unit_is_the_one_the_run_was_recorded_in() -> None:
    feet = run_strip(
        run_of({"at": "0 ft", "what": "a"}, {"at": "30 ft", "what": "b"}), anchor="a", title="t"
    )
    metres = run_strip(
        run_of({"at": "0 m", "what": "a"}, {"at": "900 cm", "what": "b"}), anchor="a", title="t"
    )
    assert (feet.unit, metres.unit) == ("ft", "m")
    assert [words for _, words in metres.drawing.ticks] == ["0", "2", "4", "6", "8"]
    # 30 ft are 9.144 m: the last tick stands at the end of the run all the same.
    assert feet.drawing.ticks[-1] == (feet.drawing.right, "30")


def test_a_reading_at_the_end_of_the_scale_is_a_bound() -> None:
    run = run_of({"at": "0 m", "what": "a"}, {"at": "9 m", "what": "b"})
    given_values = (("0 m", "99"), ("3 m", "98"), ("6 m", "1"), ("9 m", "0"))
    readings = [Reading(at=at, values=value, sensitivity="3") for at, value in given_values]
    strip = run_strip(run, anchor="a", title="t", readings=places(readings, run))
    assert [one.is_bound for one in strip.readings] == [True, False, False, True]
    assert [one.label for one in strip.readings] == ["≥99", "98", "1", "≤0"]
    text = parsed(strip).text
    assert "99 (top of the scale)" in text
    assert "0 (foot of the scale)" in text


def test_sensitivities_are_told_by_shape_and_by_word() -> None:
    run = run_of({"at": "0 m", "what": "a"}, {"at": "9 m", "what": "b"})
    readings = [
        Reading(at="0 m", values="70", sensitivity="3"),
        Reading(at="4 m", values="70", sensitivity="5"),
        Reading(at="9 m", values="70"),
    ]
    strip = run_strip(run, anchor="a", title="t", readings=places(readings, run))
    assert [one.label for one in strip.readings] == ["70 s3", "70 s5", "70 s?"]
    assert len({one.path.partition("m")[2] for one in strip.readings}) == 3
    assert [key.words for key in strip.keys] == [
        "s3: sensitivity 3",
        "s5: sensitivity 5",
        "s?: sensitivity not recorded",
    ]


def test_what_cannot_be_drawn_is_listed_with_the_reason() -> None:
    run = run_of({"at": "0 m", "what": "a"}, {"at": "9 m", "what": "b"}, {"what": "lost box"})
    readings = [
        Reading(at="behind the tank", values="70", sensitivity="3"),
        Reading(at="4 m", values="1.2 V"),
        Reading(at="5 m", values="140", sensitivity="3"),
    ]
    strip = run_strip(run, anchor="a", title="t", readings=places(readings, run))
    assert [one.why for one in strip.not_drawn] == [
        "not on the receiver's scale of 0 to 99",
        "not on the receiver's scale of 0 to 99",
        "place not recorded",
    ]
    assert "place not recorded lost box" in parsed(strip).text


def test_without_two_distances_nothing_is_drawn_and_that_is_said() -> None:
    for run in (None, run_of({"what": "a"}, {"what": "b"}), run_of({"at": "4 m", "what": "a"})):
        strip = run_strip(run, anchor="a", title="t")
        assert strip.drawing is None
        assert "no two distances are recorded" in parsed(strip).text


@pytest.mark.parametrize(
    ("marks", "expected"),
    [
        # Both ends: underground all the way.
        ([("0 m", "1 m"), ("9 m", "2 m")], [(0, 9, "underground", "1 to 2 m")]),
        # One end: somewhere on the way.
        ([("0 m", None), ("9 m", "2 m")], [(0, 9, "partly", "2 m")]),
        # A landmark without a distance hides between two others: it is not passed over.
        ([("0 m", None), (None, "2 m"), ("9 m", None)], [(0, 9, "partly", "2 m")]),
        # Recorded against the order of the run.
        ([("9 m", "2 m"), ("0 m", "1 m")], [(0, 9, "underground", "1 to 2 m")]),
        ([("0 m", None), ("9 m", None)], []),
    ],
)
def test_ground_is_never_left_out(
    marks: list[tuple[str | None, str | None]], expected: list[tuple[float, float, str, str]]
) -> None:
    written = [
        {"what": "x", **({"at": at} if at else {}), **({"depth": depth} if depth else {})}
        for at, depth in marks
    ]
    found = ground_parts(run_of(*written))
    assert [(p.stretch.low_m, p.stretch.high_m, p.cover, p.depth) for p in found] == expected


def test_a_depth_that_is_not_recorded_says_so_on_the_drawing_and_beneath() -> None:
    run = run_of(
        {"at": "0 m", "what": "a", "underground": "yes"},
        {"at": "9 m", "what": "b", "underground": "yes"},
        {"what": "c", "underground": "yes"},
    )
    strip = run_strip(run, anchor="a", title="t")
    assert [part.label for part in strip.grounds] == ["depth ?"]
    text = parsed(strip).text
    assert "Underground along 0 to 9 m: depth not recorded." in text
    assert "Landmark 3 is underground at a place that is not recorded." in text


def located() -> Strip:
    run = run_of({"at": "0 ft", "what": "LP-1"}, {"at": "50 ft", "what": "fan"})
    values = zip((0, 10, 20, 30, 40, 50), (78, 77, 75, 76, 22, 6), strict=True)
    readings = [Reading(at=f"{at} ft", values=str(v), sensitivity="4") for at, v in values]
    trace = Trace(
        date=dt.date(2026, 1, 1), by="A.B.", purpose="locate an open", readings=tuple(readings)
    )
    found = run_readings(trace, run)
    bands = (*bands_of(found), Band("Reflectometer", Stretch(10.5, 11.5)))
    return run_strip(
        run, anchor="a", title="t", readings=places(readings, run), bands=bands, transmitter_m=0.0
    )


def test_what_was_located_is_bracketed_and_said_in_words() -> None:
    strip = located()
    fault, fall, echo = strip.bands
    assert fall.words == "Signal falls: 30 to 40 ft (9.1 to 12.2 m)"
    assert fault.kind == "located"
    assert echo.words == "Reflectometer: 34 to 38 ft (10.5 to 11.5 m)"
    reading = {one.at.split(" (")[0]: one.x for one in strip.readings}
    assert (fall.left, fall.right) == (reading["30 ft"], reading["40 ft"])
    found = parsed(strip)
    assert len(list(found.of_class("rg-strip__bracket"))) == 3
    assert len(list(found.of_class("rg-strip__located"))) == 1


def test_it_has_a_text_alternative() -> None:
    found = parsed(located())
    (drawing, *_) = found.all("svg")
    names = drawing.attributes["aria-labelledby"].split()
    ids = {each.attributes["id"]: each.text for each in drawing.all() if "id" in each.attributes}
    assert drawing.attributes["role"] == "img"
    assert ids[names[0]] == "t"
    assert "Signal falls: 30 to 40 ft" in ids[names[1]]
    rows = list(found.one("rg-table").all("tr"))
    assert len(rows) == 1 + 1 + 2 + 6  # head, transmitter, landmarks, readings


def test_text_of_the_records_is_escaped() -> None:
    run = run_of({"at": "0 m", "what": "<script>"}, {"at": "9 m", "what": "</svg>", "room": "<b>"})
    found = parsed(run_strip(run, anchor="a", title="<title>"))
    assert not list(found.all("script", "b"))


def some_strips() -> list[Strip]:
    found: list[Strip] = [located()]

    @settings(
        max_examples=12, deadline=None, derandomize=True, database=None, phases=[Phase.generate]
    )
    @given(strips())
    def collect(strip: Strip) -> None:
        found.append(strip)

    collect()
    return found


TEXTS = """() => [...document.querySelectorAll('figure > svg')].map(svg =>
    [...svg.querySelectorAll('text')].map(text => {
        const box = text.getBoundingClientRect();
        return {words: text.textContent, left: box.left, right: box.right,
                top: box.top + box.height * 0.15, bottom: box.bottom - box.height * 0.15}}))"""


@pytest.mark.parametrize("width", [390, 1280])
def test_in_a_browser_no_text_overlaps_another_and_all_can_be_read(
    browser: Browser, width: int
) -> None:
    """The widths of letters are estimated in Python; here they are a real font's."""
    styles = "".join((HERE / "assets" / name).read_text() for name in STYLES)
    body = "".join(html(strip) for strip in some_strips())
    page = browser.new_page(viewport={"width": width, "height": 844})
    page.set_content(
        f'<html dir="ltr"><style>{styles}</style><body style="margin: 16px; font: 16px sans-serif">'
        f'<div class="md-typeset">{body}</div>'
    )
    drawings: list[list[dict[str, Any]]] = page.evaluate(TEXTS)
    assert drawings
    for texts in drawings:
        assert texts
        crossing = [
            (a["words"], b["words"])
            for a, b in combinations(texts, 2)
            if a["left"] < b["right"]
            and b["left"] < a["right"]
            and a["top"] < b["bottom"]
            and b["top"] < a["bottom"]
        ]
        assert crossing == []
        assert all(text["left"] >= 0 and text["right"] <= width for text in texts)
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    sizes = page.evaluate(
        """() => [...document.querySelectorAll('figure > svg text')].map(text =>
             parseFloat(getComputedStyle(text).fontSize) * text.getScreenCTM().a)"""
    )
    assert min(sizes) >= 10
    page.close()


STYLES = ("recordgen.css", "recordgen-tables.css", "recordgen-strip.css")
