"""From circuits, rooms, findings and the first page to faults and their history."""

from pathlib import Path

import pytest

from recordgen.pages import downstream, findings, lockout, panel, paths, portfolio_page, rooms
from recordgen.pages.circuit_faults import circuit_faults
from recordgen.pages.record_places import RecordPlaces
from recordgen.pages.view import View
from recordgen.problems import Location
from tests.pages.fault_house import HOUSE, house
from tests.pages.reading import Element, read


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> View:
    return house(tmp_path_factory.mktemp("links"))


def links(document: Element) -> dict[str, str]:
    return {a.text: a.attributes["href"] for a in document.all("a")}


def cards(view: View) -> dict[str, Element]:
    """Return anchor of a circuit → its card on the page of LP-1."""
    document = read(next(iter(panel.pages(view))).html)
    return {
        heading.attributes["id"]: card
        for card in document.of_class("rg-card")
        for heading in card.all("h3")
        if "id" in heading.attributes
    }


def test_a_circuit_lists_its_faults_latest_first(view: View) -> None:
    found = circuit_faults(view, "home:LP-1/1")
    assert [facts.name for facts in found.faults] == ["F-2", "F-1", "F-5"]
    assert found.open == 2
    # Nobody knows when F-4 was found: it may be the latest.
    assert [facts.name for facts in circuit_faults(view, "home:LP-1/3").faults] == ["F-4"]


def test_the_card_of_a_circuit_leads_to_faults_and_history(view: View) -> None:
    card = cards(view)["position-1"]
    assert "Faults recorded, 2 of 3 open: fault history of LP-1/1" in card.text
    assert "F-1: ground fault, found 2026-03-01, closed" in card.text
    found = links(card)
    assert found["F-2"] == "../faults/F-2.html"
    assert found["fault history of LP-1/1"] == "../faults.html#at%3Dhome%3ALP-1/1"


def test_a_fault_of_its_load_and_one_recorded_elsewhere_are_there_too(view: View) -> None:
    """F-3 names SAW and no circuit; S-1 stands in the records of the shed."""
    found = links(cards(view)["position-2"])
    assert found["F-3"] == "../faults/F-3.html"
    assert found["shed:S-1"] == "../../shed/faults/S-1.html"
    # The history of the building alone would leave one out.
    assert found["fault history of LP-1/2"] == "../../faults.html#at%3Dhome%3ALP-1/2"


def test_a_fault_of_another_circuit_is_not_listed_through_a_load(tmp_path: Path) -> None:
    records = HOUSE.replace("circuit: LP-1/3,", "circuit: LP-1/3, load: SAW,")
    found = circuit_faults(house(tmp_path, records), "home:LP-1/2")
    assert [facts.name for facts in found.faults] == ["F-3", "S-1"]


def test_sheets_of_a_circuit_tell_its_open_faults(view: View) -> None:
    for kind, path in ((downstream, paths.downstream), (lockout, paths.lockout)):
        pages = {page.path: page for page in kind.pages(view)}
        text = read(pages[path("home:LP-1/1")].html).text
        assert "Open faults: F-2" in text
        assert "F-1 ground fault" not in text  # it is closed
    # The sheet of the load tells those of its circuit, and a circuit those of its loads.
    sheets = {page.path: page for page in lockout.pages(view)}
    assert "F-2" in read(sheets[paths.lockout("home:FAN")].html).text
    lists = {page.path: page for page in downstream.pages(view)}
    assert "F-3" in read(lists[paths.downstream("home:LP-1/2")].html).text


def test_a_room_leads_to_the_faults_in_it(view: View) -> None:
    (page,) = [p for p in rooms.pages(view) if p.path == "home/rooms/R1.html"]
    assert links(read(page.html))["F-1"] == "../faults/F-1.html"


def test_a_finding_about_a_fault_leads_to_it(view: View) -> None:
    document = read(next(iter(findings.pages(view))).html)
    said = [
        row.text
        for row in document.all("tr")
        if "recorded as repaired, without made safe" in row.text
    ]
    assert len(said) == 1
    assert "fault F-2: LP-1/1" in said[0]
    assert links(document)["F-2"] == "faults/F-2.html"


def test_the_first_page_leads_to_the_history_of_all(view: View) -> None:
    document = read(next(iter(portfolio_page.pages(view))).html)
    assert links(document)["Fault history"] == "faults.html"


def test_a_place_belongs_to_the_record_that_began_last_before_it(view: View) -> None:
    places = RecordPlaces(view.portfolio.buildings)
    file = "buildings/home/records.yaml"
    start = 2 + HOUSE[: HOUSE.index("  F-2:")].count("\n")
    assert places.at(Location(file, start, 3)) == ("faults", "home:F-2")
    assert places.at(Location(file, start - 1, 9)) == ("faults", "home:F-1")
    assert places.at(Location(file, start + 5, 1)) == ("faults", "home:F-2")
    assert places.at(Location("elsewhere.yaml", 1, 1)) is None
