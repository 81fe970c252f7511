"""The page of a fault: where it stands, its gaps, its measurements, where it lies."""

import re
from pathlib import Path

import pytest

from recordgen.pages import fault
from tests.pages.fault_house import HOUSE, house
from tests.pages.reading import Element, read


@pytest.fixture(scope="module")
def documents(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Element]:
    view = house(tmp_path_factory.mktemp("faults"))
    return {page.path: read(page.html) for page in fault.pages(view)}


def page(documents: dict[str, Element], tag: str) -> Element:
    return documents[f"home/faults/{tag}.html"]


def answer(documents: dict[str, Element], tag: str) -> str:
    return page(documents, tag).one("rg-answer").text


def part(document: Element, anchor: str) -> str:
    """Return the text from one second heading to the next."""
    (place,) = [
        index
        for index, child in enumerate(document.children)
        if isinstance(child, Element) and child.attributes.get("id") == anchor
    ]
    texts = []
    for child in document.children[place + 1 :]:
        if isinstance(child, Element) and child.name == "h2":
            break
        texts.append(child.text if isinstance(child, Element) else child)
    return " ".join(" ".join(texts).split())


def rows(document: Element) -> list[list[str]]:
    """Return the cells of the first table, row by row."""
    body = next(document.all("tbody"))
    return [[cell.text for cell in row.all("th", "td")] for row in body.all("tr")]


def test_every_fault_has_a_page(documents: dict[str, Element]) -> None:
    assert sorted(documents) == [
        *(f"home/faults/F-{number}.html" for number in range(1, 6)),
        "shed/faults/S-1.html",
    ]


def test_a_closed_fault_says_so_and_how_long_it_was_open(documents: dict[str, Element]) -> None:
    said = answer(documents, "F-1")
    assert said.startswith("Closed. Fan trips ")
    # From 1 to 11 March.
    assert "Was open for 10 days calculated, found 2026-03-01." in said
    assert "Made safe 2026-03-02, by AB: locked open " in said
    assert "Circuit LP-1/1, panel LP-1. Room R1. Load FAN." in said
    assert "out of calibration IT was out of calibration on 2026-03-05: its calibration held" in (
        said
    )


def test_an_open_fault_that_nobody_made_safe_warns(documents: dict[str, Element]) -> None:
    said = answer(documents, "F-2")
    assert said.startswith("Open: repaired.")
    assert "Not recorded as made safe. Take it that nothing is isolated." in said
    assert "Still to be recorded: retested, closed." in said
    assert "without made safe and located before that" in said
    assert page(documents, "F-2").one("rg-answer").has_class("rg-answer--no")


def test_a_step_of_a_later_day_has_made_nothing_safe(tmp_path: Path) -> None:
    later = HOUSE.replace(
        "step: made safe, date: 2025-01-02, by: JD", "step: made safe, date: 2027-01-02, by: JD"
    )
    found = {p.path: read(p.html) for p in fault.pages(house(tmp_path, later))}
    document = found["home/faults/F-5.html"]
    assert "Not recorded as made safe." in document.one("rg-answer").text
    assert "doubt Dated after 2026-11-25." in document.text


def test_what_is_not_recorded_reads_so(documents: dict[str, Element]) -> None:
    assert "Circuit not recorded. Room not recorded. Load SAW." in answer(documents, "F-3")
    said = answer(documents, "F-4")
    assert said.startswith("Open: no step recorded.")
    assert "How long it has been open: not recorded, the day it was found is missing." in said
    assert "No step is recorded." in page(documents, "F-4").text


def test_steps_stand_in_order_of_date_and_gaps_where_they_belong(
    documents: dict[str, Element],
) -> None:
    assert [row[:3] for row in rows(page(documents, "F-2"))] == [
        ["found", "2026-06-01", "JD"],
        ["made safe", "gap not recorded: neither when nor by whom"],
        ["located", "gap not recorded: neither when nor by whom"],
        ["repaired", "2026-06-09", "AB"],
    ]


def test_a_step_out_of_order_carries_the_doubt(documents: dict[str, Element]) -> None:
    found = rows(page(documents, "F-5"))
    assert [row[0] for row in found] == ["located", "found", "made safe"]
    assert "doubt Located on 2025-01-01, and made safe only on 2025-01-02." in found[0][3]


def test_measurements_stand_with_units_and_conditions(documents: dict[str, Element]) -> None:
    found = rows(page(documents, "F-1"))
    assert found[0][4] == (
        "insulation resistance 0.5 Mohm, phase to ground, at 1000 V, at 20 C, with IT"
    )
    assert found[4][4].endswith("voltage 277 V, between what not recorded")


def test_calibration_is_that_of_the_day(documents: dict[str, Element]) -> None:
    found = rows(page(documents, "F-1"))
    assert found[0][5] == "IT insulation tester: in calibration on 2026-03-01"
    assert found[4][5] == (
        "IT insulation tester: out of calibration on 2026-03-05: its calibration held until "
        "2026-03-04; it was used on 2026-03-05"
    )
    assert "no calibration expected" in found[2][5]
    assert found[1][5] == "not recorded"


def test_recorded_and_calculated_resistance_stand_apart(documents: dict[str, Element]) -> None:
    said = part(page(documents, "F-1"), "insulation")
    assert "this fault, found 0.5 Mohm 20 C 0.5 MΩ calculated" in said
    assert "this fault, retested 40 Mohm 30 C 80 MΩ calculated" in said
    assert "Trend calculated: rising" in said
    # NETA, table 100.1, from memory: 100 megohms for 600 V.
    assert "Published minimum: 100 MΩ at 20 °C" in said
    assert "below the minimum" in said


def test_the_trend_stands_on_the_page_of_every_fault_of_its_circuit(
    documents: dict[str, Element],
) -> None:
    said = part(page(documents, "F-2"), "insulation")
    assert "2026-03-01 F-1, found 0.5 Mohm" in said
    assert "Its circuit is not recorded" in part(page(documents, "F-3"), "insulation")


def test_a_place_is_a_stretch_and_never_a_point(documents: dict[str, Element]) -> None:
    said = part(page(documents, "F-1"), "place")
    # The fall lies between 30 and 40 ft; the signal may fade a little before.
    (low, high) = map(int, re.findall(r"have it along|along (\d+) to (\d+) ft", said)[0])
    assert 25 <= low <= 30 < high <= 40
    assert "One method alone has it along" in said
    assert "Nearest landmark: corner box, room R1." in said
    assert "Concluded in T-1 recorded: near the corner" in said
    assert next(page(documents, "F-1").all("svg"))


def test_what_to_measure_next_is_said_while_it_is_not_repaired(tmp_path: Path) -> None:
    early = HOUSE.replace("      - {step: repaired, date: 2026-03-05, by: AB, what: new", "#")
    start, rest = early.split("#", 1)
    early = start + rest[rest.index("  F-2:") :]
    found = {p.path: read(p.html) for p in fault.pages(house(tmp_path, early))}
    said = part(found["home/faults/F-1.html"], "place")
    assert "What to measure next:" in said
    assert "read from the other end too" in said


def test_without_bounds_a_reflectometer_gives_no_place(tmp_path: Path) -> None:
    start = HOUSE.index("    readings:\n      - {at: 0 ft")
    end = HOUSE.index("faults:\n")
    echo = (
        "    echo: {from: 0 ft, towards: end, time: 60 ns, velocity_factor: 0.66 ± 0.02, "
        "conductor_per_route: 1.05 ± 0.03}\n"
    )
    bare = HOUSE[:start] + echo + HOUSE[end:]
    found = {p.path: read(p.html) for p in fault.pages(house(tmp_path / "a", bare))}
    said = part(found["home/faults/F-1.html"], "place")
    assert "No place follows from what is recorded." in said
    assert "the uncertainty of `time` is not recorded" in said
    bounded = bare.replace("60 ns", "60 ± 3 ns")
    found = {p.path: read(p.html) for p in fault.pages(house(tmp_path / "b", bounded))}
    said = part(found["home/faults/F-1.html"], "place")
    assert re.search(r"One method alone has it along \d+ to \d+ ft", said)


def test_methods_that_agree_have_it_where_both_do(tmp_path: Path) -> None:
    """Light goes 0.2998 m in a nanosecond: 110 ns there and back at 0.66 of it are 10.9 m of
    conductor, 10.4 m or 34 ft of route."""
    echo = (
        "    echo: {from: 0 ft, towards: end, time: 110 ± 4 ns, velocity_factor: 0.66 ± 0.01, "
        "conductor_per_route: 1.05 ± 0.02}\n"
    )
    records = HOUSE.replace("    readings:\n", f"{echo}    readings:\n")
    found = {p.path: read(p.html) for p in fault.pages(house(tmp_path, records))}
    said = part(found["home/faults/F-1.html"], "place")
    both = re.search(r"All methods together have it along (\d+) to (\d+) ft", said)
    alone = re.search(r"reflectometer (\d+) to (\d+) ft", said)
    assert both
    assert alone
    assert int(alone[1]) <= int(both[1]) <= 34 <= int(both[2]) <= int(alone[2])


def test_methods_that_disagree_give_no_place(tmp_path: Path) -> None:
    echo = (
        "    echo: {from: 0 ft, towards: end, time: 20 ± 1 ns, velocity_factor: 0.66 ± 0.02, "
        "conductor_per_route: 1.05 ± 0.03}\n"
    )
    records = HOUSE.replace("    readings:\n", f"{echo}    readings:\n")
    found = {p.path: read(p.html) for p in fault.pages(house(tmp_path, records))}
    said = part(found["home/faults/F-1.html"], "place")
    assert "No place is given: the methods do not agree." in said


def test_related_faults_are_named_once_with_what_relates_them(
    documents: dict[str, Element],
) -> None:
    said = part(page(documents, "F-1"), "related")
    # From 1 March to 1 June.
    assert (
        "Ground fault on this circuit 2 times in all; the shortest time from one to the next was "
        "92 days."
    ) in said
    assert said.count("F-2: ") == 1
    assert "On the same circuit F-5: overload" in said
    assert "None recorded" in part(page(documents, "F-4"), "related")


def test_a_fault_in_another_building_leads_there(documents: dict[str, Element]) -> None:
    links = {a.text: a.attributes["href"] for a in documents["shed/faults/S-1.html"].all("a")}
    assert links["home:LP-1/2"] == "../../home/panels/LP-1.html#position-2"
    assert links["Lockout sheet of home:LP-1/2"] == "../../home/lockout/LP-1/2.html"


def test_sheets_of_circuit_and_load_are_one_press_away(documents: dict[str, Element]) -> None:
    links = {a.text: a.attributes["href"] for a in page(documents, "F-1").all("a")}
    assert links["Lockout sheet of LP-1/1"] == "../lockout/LP-1/1.html"
    assert links["Lockout sheet of FAN"] == "../lockout/FAN.html"
    assert links["What goes dark with LP-1/1"] == "../downstream/LP-1/1.html"


def test_a_stop_of_the_circuit_stands_first(tmp_path: Path) -> None:
    records = HOUSE.replace("conclusion: near the corner", "conclusion: x").replace(
        "traces:\n",
        "traces:\n  T-2: {date: 2026-01-01, by: JD, purpose: identify the breaker, load: FAN,"
        " concluded_circuit: LP-1/3, confirmed_by_opening: yes}\n",
    )
    found = {p.path: p for p in fault.pages(house(tmp_path, records))}
    html = found["home/faults/F-1.html"].html
    assert html.index("STOP: do not rely on this page") < html.index("rg-answer")
    assert "STOP" not in found["home/faults/F-3.html"].html.split("rg-answer")[0]


def test_the_record_can_be_found(documents: dict[str, Element]) -> None:
    said = part(page(documents, "F-1"), "record")
    assert "Photos, by file name fan-1.jpg, fan-2.jpg" in said
    assert "Cause a nail" in said
    line = 2 + HOUSE[: HOUSE.index("  F-1:")].count("\n")
    assert f"buildings/home/records.yaml:{line}:3" in said


def test_cautions_stand_on_every_page(documents: dict[str, Element]) -> None:
    for document in documents.values():
        assert "no proof that it is so today" in document.one("rg-cautions").text
