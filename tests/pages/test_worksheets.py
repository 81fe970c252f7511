"""Worksheets: what stands on them, and that what is written on them can be typed in as it is."""

import importlib
import re
from pathlib import Path
from typing import Any, get_args

import pytest
import yaml

from recordgen.evidence import breaker_readings, bundle_readings, downstream_readings
from recordgen.evidence.fault_life import STEPS
from recordgen.evidence.fault_steps import RETEST_WANTS
from recordgen.evidence.run_places import DIGGING
from recordgen.evidence.run_readings import LEAST_PLACES
from recordgen.pages import paths, worksheet_wording, worksheets
from recordgen.pages.page import Page
from recordgen.pages.view import View
from recordgen.portfolio import load_portfolio
from recordgen.records.field import Fault, Inspection, Trace
from tests.conftest import AS_OF
from tests.pages.reading import Element, landing, read
from tests.pages.worksheet_yard import YARD, yard

PURPOSES = get_args(Trace.model_fields["purpose"].annotation)
RUN_SHEET = "yard/worksheets/along-a-run/RN-1.html"
IDENTIFY = "yard/worksheets/identify-the-breaker/LP.html"
DOWNSTREAM = "yard/worksheets/list-what-is-downstream/LP.html"
WALK = "yard/worksheets/directory-walk-through/LP.html"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Page]:
    view = View(yard(tmp_path_factory.mktemp("yard")))
    return {page.path: page for page in worksheets.pages(view)}


def sheet(made: dict[str, Page], path: str) -> Element:
    return read(made[path].html)


def keys(document: Element) -> list[str]:
    """Return the keys of the fields to fill in, from the top down."""
    found = [e.attributes["data-key"] for e in document.all() if "data-key" in e.attributes]
    return [key for key in found if key not in ("echo", "bridge")]


def yaml_of(document: Element) -> str:
    """Return the lines of YAML at the foot of a sheet, white space as it stands."""
    (block,) = document.all("pre")
    return "".join(child for child in block.children if isinstance(child, str))


def test_there_is_an_empty_sheet_for_every_purpose(made: dict[str, Page]) -> None:
    others = ("fault", "lockout sheet", "directory walk-through")
    for purpose in (*PURPOSES, *others):
        assert paths.worksheet("yard", purpose) in made
    index = sheet(made, "yard/worksheets.html")
    reached = {landing(a.attributes["href"], "yard/worksheets.html")[0] for a in index.all("a")}
    assert set(made) - {"yard/worksheets.html"} <= reached


def test_what_is_recorded_has_sheets_of_its_own(made: dict[str, Page]) -> None:
    names = {path.removeprefix("yard/worksheets/") for path in made if path.count("/") == 3}
    bundle = paths.worksheet("", "sort a bundle", "Bundle left/right").rpartition("/")[2]
    assert names == {
        *(
            f"{kind}/{tag}.html"
            for tag in ("MSB", "LP", "SP")
            for kind in (
                "identify-the-breaker",
                "list-what-is-downstream",
                "directory-walk-through",
            )
        ),
        *(f"along-a-run/{tag}.html" for tag in ("RN-1", "RN-2", "RN-3")),
        f"sort-a-bundle/{bundle}",
        "sort-a-bundle/b7.html",
        # F-2 is closed.
        "fault/F-1.html",
    }
    assert re.fullmatch(r"[a-z0-9-]+\.html", bundle)


def test_one_sheet_of_a_run_serves_every_purpose_along_it() -> None:
    along = [p for p in PURPOSES if p.startswith(("follow", "locate"))]
    assert len(along) == 5
    assert {paths.worksheet("b", p, "R") for p in along} == {"b/worksheets/along-a-run/R.html"}
    assert len({paths.worksheet("b", p) for p in PURPOSES}) == len(PURPOSES)


def test_only_the_list_is_in_the_navigation_and_none_is_searched(made: dict[str, Page]) -> None:
    assert [path for path, page in made.items() if page.nav] == ["yard/worksheets.html"]
    assert not any(page.searched for page in made.values())


def test_fields_stand_in_the_order_of_the_record(made: dict[str, Page]) -> None:
    seen = 0
    for path, page in made.items():
        kind = path.split("/")[2] if path.count("/") > 1 else ""
        model = {
            "fault": Fault,
            "fault.html": Fault,
            "lockout-sheet.html": Inspection,
            "directory-walk-through": Inspection,
            "directory-walk-through.html": Inspection,
        }.get(kind, Trace)
        found = keys(read(page.html))
        order = list(model.model_fields)
        assert found == sorted(found, key=order.index), path
        assert len(found) == len(set(found)), path
        seen += len(found)
    assert seen > 100


ANSWERS = {
    "date": "2026-11-24",
    "by": "A.B.",
    "instrument": "TR",
    "purpose": "locate an open",
    "connection": "inductive clamp",
    "load": "R-9",
    "circuit": "LP/9",
    "cable": "C-1",
    "run": "RN-1",
    "transmitter_at": "panel LP",
    "at": "LP/9",
    "values": "74",
    "sensitivity": "4",
    "note": "read twice",
    "found": "R-9",
    "conclusion": "as drawn",
    "concluded_circuit": "LP/9",
    "concluded_cable": "C-1",
    "confirmed_by_opening": "yes",
    "photos": "photos/1.jpg",
    "notes": "tested with VT",
    "from": "panel LP",
    "towards": "end",
    "time": "412 ± 5 ns",
    "velocity_factor": "0.66 ± 0.02",
    "conductor_per_route": "1.05 ± 0.03",
    "sound_arm": "3 ± 0.03 ohm",
    "faulty_arm": "1 ± 0.01 ohm",
    "loop": "390 ± 4 ft",
    "faulty_length": "195 ± 2 ft",
    "kind": "open",
    "room": "W",
    "description": "dead outlet",
    "step": "retested",
    "what": "whole circuit",
    "quantity": "continuity",
    "value": "0.3 ohm",
    "between": "both ends",
    "test_voltage": "500 V",
    "temperature": "20 C",
    "trace": "T-1",
    "cause": "a nail",
    "of": "LP",
    "employees": "E.F.",
    "next_due": "2027-11-24",
}


def filled(lines: str, tag: str) -> dict[str, Any]:
    """Return what a sheet's lines of YAML hold once every blank is filled in."""
    lines = re.sub(r"^  ____:", f"  {tag}:", lines, flags=re.MULTILINE)
    # Nothing is recorded in SP yet.
    lines = lines.replace("SP/____", "LP/2").replace("/____", "/2")
    pattern = re.compile(r"\b([a-z_]+): (\[?)____")
    while pattern.search(lines):
        lines = pattern.sub(lambda m: f"{m[1]}: {m[2]}{ANSWERS[m[1]]}", lines)
    lines = lines.replace(", ____", ", 60")
    assert "____" not in lines
    loaded: dict[str, Any] = yaml.load(lines, yaml.BaseLoader)  # noqa: S506 (makes text only)
    return loaded


def test_the_lines_at_the_foot_are_a_record_once_filled_in(
    made: dict[str, Page], tmp_path: Path
) -> None:
    """They are put beside the records of the yard, which then have to load."""
    place = tmp_path / "buildings" / "yard"
    place.mkdir(parents=True)
    (place / "all.yaml").write_text(YARD, encoding="utf-8")
    written = 0
    for path, page in made.items():
        if path == "yard/worksheets.html":
            continue
        found = filled(yaml_of(read(page.html)), f"Z-{written}")
        written += 1
        if path.endswith("fault/F-1.html"):
            # The next steps of a fault that is there: they go below those recorded.
            (fault,) = found["faults"].values()
            Fault.model_validate({"kind": "open", "description": "dead", **fault})
            continue
        (place / f"sheet-{written}.yaml").write_text(yaml.safe_dump(found), encoding="utf-8")
    portfolio = load_portfolio(tmp_path / "buildings", AS_OF)
    assert [str(p) for p in portfolio.problems if p.severity == "error"] == []
    records = portfolio.buildings["yard"].records
    new = [tag for tag in (*records.traces, *records.faults, *records.inspections) if tag[0] == "Z"]
    assert len(new) == written - 1
    assert {records.traces[tag].purpose for tag in new if tag in records.traces} == set(PURPOSES)


def test_every_key_that_is_filled_in_is_in_the_lines_at_the_foot(made: dict[str, Page]) -> None:
    for path, page in made.items():
        if path == "yard/worksheets.html" or path.endswith("fault/F-1.html"):
            continue
        document = read(page.html)
        lines = yaml_of(document)
        assert [key for key in keys(document) if f" {key}: " not in lines] == [], path


def test_the_sheet_names_the_command(made: dict[str, Page]) -> None:
    assert "recordgen record trace yard" in sheet(made, IDENTIFY).text
    assert "recordgen record fault yard F-1" in sheet(made, "yard/worksheets/fault/F-1.html").text


def rows_of(document: Element, class_name: str) -> list[list[str]]:
    table = document.one(class_name)
    (body,) = table.all("tbody")
    return [[cell.text for cell in row.all("th", "td")] for row in body.all("tr")]


def test_positions_stand_as_in_the_directory(made: dict[str, Page]) -> None:
    """Odd left and even right (common practice), from 1 and 2 at the top down."""
    rows = rows_of(sheet(made, IDENTIFY), "rg-positions")
    assert [row[0] for row in rows] == [str(n) for n in range(1, 43, 2)]
    assert [row[-1] for row in rows] == [str(n) for n in range(2, 43, 2)]
    assert rows[0][:4] == ["1", "Saw 60 A 3P", "", ""]
    # The further poles have no reading of their own; what 4B feeds is not known.
    assert rows[1] == ["3", "", "", "4A Bell 15 A 1P 4B Clock 15 A 1P STOP", "4"]
    assert rows[0][4:] == ["", "", "no description", "2"]
    assert rows[19] == ["39", "Spare", "", "", "", "", "Space", "40"]
    assert rows[20] == ["41", "not recorded", "", "", "", "", "Shed panel", "42"]
    walk = rows_of(sheet(made, WALK), "rg-positions")
    assert [row[0] for row in walk] == [str(n) for n in range(1, 43, 2)]
    assert walk[2][-3:] == ["6", "not recorded", "same"]


def test_a_switchboard_numbers_its_devices(made: dict[str, Page]) -> None:
    text = sheet(made, "yard/worksheets/identify-the-breaker/MSB.html").text
    assert "MSB/1 Panel LP" in text
    assert "MSB/2 Yard pump" in text


def test_where_the_panel_is_stands_on_its_sheet(made: dict[str, Page]) -> None:
    assert "Panel LP, Light and power, 208Y/120. Room E. Key: K4." in sheet(made, IDENTIFY).text
    text = sheet(made, "yard/worksheets/identify-the-breaker/SP.html").text
    assert "system not recorded" in text
    assert "Room not recorded" in text


def test_every_load_of_every_circuit_can_be_ticked(made: dict[str, Page]) -> None:
    rows = {row[0].split()[0]: row for row in rows_of(sheet(made, DOWNSTREAM), "rg-downstream")}
    assert set(rows) == {
        *("LP/1-3-5", "LP/2", "LP/4A", "LP/4B", "LP/39", "LP/42"),
        *(f"LP/{n}" for n in range(7, 39)),
    }
    assert rows["LP/9"] == ["LP/9 STOP Outlets of bay 9 and the passage", *rows["LP/9"][1:]]
    assert rows["LP/9"][1].split() == ["R-9", "W", "R-9B"]
    assert rows["LP/42"][1] == "SP"
    assert rows["LP/4A"][1] == "nothing recorded"
    assert rows["LP/4B"][1] == "loads not recorded"
    assert rows["LP/39"][1] == "spare"
    assert all(row[2:] == ["", "yes no"] for row in rows.values())


def test_a_contradiction_stops_the_sheets_of_its_panel(made: dict[str, Page]) -> None:
    """T-1 opened LP/11 and R-9 went dead; the record has R-9 on LP/9."""
    for path in (IDENTIFY, DOWNSTREAM, WALK):
        document = sheet(made, path)
        (notice,) = document.of_class("rg-stop")
        assert "STOP" in notice.text
        assert re.search(r"\b9\b", notice.text)
        assert len(list(document.of_class("rg-mark-stop"))) >= 1
    assert list(sheet(made, IDENTIFY.replace("LP", "MSB")).of_class("rg-stop")) == []


def test_the_rule_comes_from_what_judges_the_readings(
    made: dict[str, Page], monkeypatch: pytest.MonkeyPatch
) -> None:
    constants = [
        *((breaker_readings, name) for name in ("LEAD", "STRONG", "EVEN", "STANDING")),
        *((breaker_readings, name) for name in ("STANDING_WITHOUT_COVERS", "FAR_BELOW")),
        (breaker_readings, "COVER_FAR_BELOW"),
        (bundle_readings, "LEAD"),
        (downstream_readings, "LEAD"),
    ]
    said = worksheet_wording.HOW
    shown = {
        breaker_readings: "identify the breaker",
        bundle_readings: "sort a bundle",
        downstream_readings: "list what is downstream",
    }
    try:
        for number, (module, name) in enumerate(constants):
            figure = 3000.5 + number
            with monkeypatch.context() as patch:
                patch.setattr(module, name, figure)
                importlib.reload(worksheet_wording)
                lines = " ".join(sum(worksheet_wording.HOW[shown[module]], ()))
                assert f"{figure:g}" in lines, name
    finally:
        importlib.reload(worksheet_wording)
    assert said == worksheet_wording.HOW
    text = sheet(made, IDENTIFY).text
    for line in (*said["identify the breaker"][0], *said["identify the breaker"][1]):
        assert line in text
    assert f"{LEAST_PLACES} places" in sheet(made, RUN_SHEET).text


def test_instruments_say_in_words_whether_they_are_due(made: dict[str, Page]) -> None:
    """As of 2026-11-25. A tracer compares readings with each other: common practice."""
    text = sheet(made, RUN_SHEET).text
    assert "IT insulation tester, CAT III 600 V, OVERDUE since 2026-01-31" in text
    assert "MM multimeter, CAT IV 600 V, due 2027-01-31" in text
    assert "TR tracer, CAT III 600 V, no due date recorded: check it on a known circuit" in text
    assert "VT voltage tester, CAT IV 600 V, calibration not shown: due is not recorded" in text
    assert "PU proving unit, category not recorded" in text
    assert "TC thermal camera" not in text
    assert "TC thermal camera" in sheet(made, "yard/worksheets/fault.html").text
    assert "IT insulation tester" not in sheet(made, IDENTIFY).text


def test_a_run_is_read_at_its_landmarks_and_between_them(made: dict[str, Page]) -> None:
    rows = rows_of(sheet(made, RUN_SHEET), "rg-along")
    assert [row[:2] for row in rows[:7]] == [
        ["0 ft", "panel LP, room E"],
        ["", ""],
        ["30 ft", "sleeve; underground, depth 24 in"],
        ["", "between two underground"],
        ["90 ft", "gate; underground, depth not recorded"],
        ["", ""],
        ["distance not recorded", "last pole"],
    ]
    assert len(rows) > 9
    # Twice a value and a sensitivity: the second pair is for the new setting.
    assert all(len(row) == 7 and row[2:] == [""] * 5 for row in rows)
    text = sheet(made, RUN_SHEET).text
    assert "circuit LP/7" in text
    assert "run RN-1" in text


def test_underground_calls_before_digging(made: dict[str, Page]) -> None:
    empty = [paths.worksheet("yard", p) for p in PURPOSES if p.startswith("locate")]
    below = paths.worksheet("yard", "follow an underground cable")
    for path in (RUN_SHEET, below, *empty):
        assert sheet(made, path).text.count(DIGGING) == 1, path
    assert DIGGING not in sheet(made, "yard/worksheets/along-a-run/RN-2.html").text


def test_a_fibre_carries_no_signal(made: dict[str, Page]) -> None:
    words = "a tracer's signal does not pass along it"
    assert words in sheet(made, "yard/worksheets/along-a-run/RN-2.html").text
    assert words not in sheet(made, RUN_SHEET).text
    bundle = paths.worksheet("yard", "sort a bundle", "Bundle left/right")
    assert words in sheet(made, bundle).text
    assert words not in sheet(made, "yard/worksheets/sort-a-bundle/b7.html").text


def test_a_bundle_lists_its_cables_under_either_spelling(made: dict[str, Page]) -> None:
    bundle = paths.worksheet("yard", "sort a bundle", "BUNDLE LEFT/right")
    text = sheet(made, bundle).text
    assert "C-1 category; ends: room W, jack 1 / room E" in text
    assert "C-2 fibre; ends not recorded" in text
    assert "C-3" not in text


def test_every_purpose_says_what_to_mind(made: dict[str, Page]) -> None:
    for purpose in PURPOSES:
        text = sheet(made, paths.worksheet("yard", purpose)).text
        assert "Qualified persons only" in text
        assert "no signal never means dead" in text
        assert "an aid and no proof" in text
        if purpose != "sort a bundle":
            assert "Test before touch" in text
            assert "measurement category (CAT)" in text
    assert "test it first" in sheet(made, paths.worksheet("yard", "sort a bundle")).text


def test_a_fault_has_every_step_with_what_it_wants_measured(made: dict[str, Page]) -> None:
    document = sheet(made, "yard/worksheets/fault.html")
    steps = [h.text.split(". ")[1] for h in document.all("h3")]
    assert steps == list(STEPS)
    (retest,) = [e for e in document.of_class("rg-step") if "5. retested" in e.text]
    for kind, wanted in RETEST_WANTS.items():
        assert re.search(rf"{kind}\b[^:]*: {' or '.join(wanted)}", retest.text), kind
    assert "trip time" in retest.text
    for column in ("quantity", "value", "between", "test_voltage", "temperature", "instrument"):
        assert column in retest.text


def test_an_open_fault_shows_what_is_recorded_and_wants_what_its_kind_wants(
    made: dict[str, Page],
) -> None:
    document = sheet(made, "yard/worksheets/fault/F-1.html")
    assert "Recorded: 2026-11-01, A.B., tripped at night" in document.text
    assert "kind ground fault" in document.text
    (retest,) = [e for e in document.of_class("rg-step") if "5. retested" in e.text]
    assert "ground fault: insulation resistance" in retest.text
    assert "overload" not in retest.text


def test_an_inspection_of_a_lockout_sheet_asks_what_the_rule_asks(made: dict[str, Page]) -> None:
    """29 CFR 1910.147(c)(6)(ii): the certification names machine, date, employees and inspector."""
    text = sheet(made, "yard/worksheets/lockout-sheet.html").text
    assert "Certified: machine or equipment, date, employees included, inspector." in text
    assert "does not work by this sheet" in text
    # A year after 2025-06-01.
    assert "MSB/2 (overdue, 2026-06-01)" in text


def test_a_sheet_of_a_full_panel_stays_light(made: dict[str, Page]) -> None:
    for path in (IDENTIFY, DOWNSTREAM, WALK):
        assert len(made[path].html.encode()) < 40_000, path
