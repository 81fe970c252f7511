"""The page of a run: its route, what lies underground, what was read along it."""

from pathlib import Path

import pytest

from recordgen.pages import panel, run
from recordgen.pages.run_values import run_facts
from tests.pages.reading import Element
from tests.pages.run_records import HEAD, only, view

MARKS = """
runs:
  R-1:
    of: LP-1/1
    description: Yard lights
    landmarks:
      - {at: 0 ft, what: LP-1, room: A1}
      - {at: 30 ft, what: elbow down, room: A2, underground: yes, depth: 20 in}
      - {what: handhole, room: A2, underground: yes}
      - {at: 80 ft, what: pole, room: A2, underground: no}
"""


def page_of(folder: Path, text: str, **others: str) -> Element:
    return only(list(run.pages(view(folder, text, **others))))


def rows(found: Element, table: int = 0) -> list[list[str]]:
    tables = [each for each in found.all("table") if "rg-table" in each.attributes["class"]]
    return [[cell.text for cell in row.all("th", "td")] for row in tables[table].all("tr")]


def test_the_route_lists_every_landmark_and_the_ways_between(tmp_path: Path) -> None:
    _, *route = rows(page_of(tmp_path, MARKS))
    assert route == [
        ["1 LP-1", "0 ft", "", "A1", "not recorded"],
        ["2 elbow down", "30 ft", "30 ft", "A2", "underground, 20 in deep"],
        # Between a landmark without a distance and its neighbours nothing is known.
        ["3 handhole", "not recorded", "not recorded", "A2", "underground, depth not recorded"],
        ["4 pole", "80 ft", "not recorded", "A2", "above ground"],
    ]


def test_what_lies_underground_comes_with_its_cautions(tmp_path: Path) -> None:
    text = page_of(tmp_path, MARKS).one("rg-warning").text
    assert "A tracer is no utility locator" in text
    assert "Before digging call the local notification centre" in text
    assert "Depth not recorded at: handhole." in text


def test_a_run_above_ground_has_no_cautions_for_digging(tmp_path: Path) -> None:
    marks = "runs: {R-1: {of: LP-1/1, landmarks: [{at: 0 m, what: a}, {at: 4 m, what: b}]}}"
    found = page_of(tmp_path, marks)
    assert not list(found.of_class("rg-warning"))
    assert "nothing recorded as underground" in found.text


@pytest.mark.parametrize(
    ("landmarks", "length"),
    [
        ("[{at: 5 ft, what: a}, {at: 45 ft, what: b}]", "40 ft (12.2 m)"),
        ("[{at: 0 m, what: a}, {at: 4.5 m, what: b}]", "4.5 m"),
        ("[{at: 0 m, what: a}, {at: 4 m, what: b}, {what: c}]", "at least 4 m"),
        ("[{what: c}, {at: 0 m, what: a}, {at: 4 m, what: b}]", "at least 4 m"),
        ("[{at: 0 m, what: a}, {what: b}]", ""),
        ("[]", ""),
    ],
)
def test_the_length_is_never_more_than_what_is_recorded(
    tmp_path: Path, landmarks: str, length: str
) -> None:
    made = view(tmp_path, f"runs: {{R-1: {{of: LP-1/1, landmarks: {landmarks}}}}}")
    assert run_facts(made, "home:R-1").length == length
    if not length:
        assert "Length not recorded" in only(list(run.pages(made))).one("rg-answer").text


def test_it_leads_to_the_lockout_sheet_of_its_circuit(tmp_path: Path) -> None:
    found = page_of(tmp_path, MARKS)
    links = {link.text: link.attributes["href"] for link in found.one("rg-actions").all("a")}
    assert links["Lockout sheet"] == "../lockout/LP-1/1.html"
    assert links["What goes dark"] == "../downstream/LP-1/1.html"
    assert links["All runs"] == "../cables.html#runs"
    assert links["Worksheet to print"] == "../worksheets/along-a-run/R-1.html"


def test_a_run_of_a_cable_leads_to_the_register(tmp_path: Path) -> None:
    text = "cables: {C-1: {kind: fibre}}\nruns: {R-1: {of: C-1}}\n"
    found = page_of(tmp_path, text)
    (link,) = found.one("rg-answer").all("a")
    assert (link.text, link.attributes["href"]) == ("C-1", "../cables.html#record-C-1")
    assert "Lockout sheet" not in found.one("rg-actions").text
    assert "Landmarks: not recorded." in found.text


VALUES = zip((0, 10, 20, 30, 40, 50), (78, 77, 75, 76, 22, 6), strict=True)
READINGS = ", ".join(f"{{at: {at} ft, values: {value}, sensitivity: 4}}" for at, value in VALUES)
OPEN = "purpose: locate an open, connection: dead conductor with remote return, run: R-1"
READ = f"""
traces:
  T-1:
    {{{HEAD}, {OPEN}, transmitter_at: LP-1, conclusion: near the elbow, readings: [{READINGS}]}}
  T-2: {{{HEAD.replace("05-01", "06-01")}, purpose: follow a run, run: R-1}}
  T-3: {{{HEAD}, purpose: follow a run, circuit: LP-1/3}}
"""


def test_traces_along_it_are_shown_with_what_they_show_latest_first(tmp_path: Path) -> None:
    found = page_of(tmp_path, MARKS + READ)
    cards = list(found.of_class("rg-card"))
    assert [next(card.all("h3")).text for card in cards] == [
        "T-2: follow a run, 2026-06-01",
        "T-1: locate an open, 2026-05-01",
    ]
    assert "Not enough was read to show the run" in cards[0].text
    assert "along 30 to 39 ft (9.1 to 11.9 m), in 90 of 100 such cases" in cards[1].text
    assert "Concluded, as recorded: Near the elbow." in cards[1].text
    assert "transmitter joined here" in cards[1].text
    brackets = list(cards[1].of_class("rg-strip__bracket"))
    assert len(brackets) == 1
    assert len(list(cards[1].of_class("rg-strip__stem"))) == 6


def test_a_run_that_no_trace_shows_says_so(tmp_path: Path) -> None:
    assert "no trace is recorded along this run" in page_of(tmp_path / "a", MARKS).text
    assert "Route unverified" in page_of(tmp_path / "b", MARKS + READ).text
    leaning = MARKS.replace("    of: LP-1/1\n", "    of: LP-1/1\n    trace: T-2\n") + READ
    found = page_of(tmp_path / "c", leaning)
    assert "Route unverified" not in found.text
    assert "The record of this run rests on it" in found.text


FAULTS = """
faults:
  F-1:
    {kind: open, circuit: LP-1/1, description: dark, steps: [
      {step: found, date: 2026-04-30, by: A.B.},
      {step: located, date: 2026-05-01, by: A.B., trace: T-1}]}
  F-2: {kind: ground fault, circuit: LP-1/1, description: trips}
  F-3: {kind: ground fault, circuit: LP-1/3, description: elsewhere}
"""


def test_faults_located_on_it_come_before_others_of_its_circuit(tmp_path: Path) -> None:
    found = page_of(tmp_path, MARKS + READ + FAULTS)
    tables = len([e for e in found.all("table") if "rg-table" in e.attributes["class"]])
    _, *faults = rows(found, tables - 1)
    assert faults == [
        ["F-1", "open", "located", "2026-04-30", "located by T-1"],
        [
            "F-2",
            "ground fault",
            "no step recorded",
            "not recorded",
            "on its circuit; where is not recorded along this run",
        ],
    ]


def test_a_run_may_belong_to_a_circuit_of_another_building(tmp_path: Path) -> None:
    annex = "runs: {R-9: {of: 'home:LP-1/1'}}\n"
    made = view(tmp_path, "", annex=annex)
    found = only(list(run.pages(made)))
    links = {link.text: link.attributes["href"] for link in found.all("a")}
    assert links["home:LP-1/1"] == "../../home/panels/LP-1.html#position-1"
    assert made.runs_of["home:LP-1/1"] == ("annex:R-9",)


def test_the_entry_of_its_circuit_leads_to_the_run(tmp_path: Path) -> None:
    found = only(list(panel.pages(view(tmp_path, MARKS))))
    cards = [card for card in found.of_class("rg-card") if "run R-1" in card.text]
    assert [next(card.all("h3")).attributes["id"] for card in cards] == ["position-1"]
    links = {link.text: link.attributes["href"] for link in cards[0].all("a")}
    assert links["R-1"] == "../runs/R-1.html"
