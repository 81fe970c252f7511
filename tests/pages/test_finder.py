"""The finder: what it looks through, and what a person finds who types as people do."""

import datetime as dt
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page

from recordgen.pages import paths
from recordgen.pages.finder import entries, finder_file
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from recordgen.site.build import build_site
from tests.network.asking import portfolio

AS_OF = dt.date(2026, 11, 25)
HOUSE = """
rooms:
  204: {name: Exam room 4, floor: upper}
  215: {name: Store}
sources: {UTIL: {kind: utility}}
panels:
  LP-2A:
    kind: panelboard
    main: lugs
    room: 215
    fed_from: UTIL
    former_names: [KITCHEN PANEL]
    circuits:
      14:
        description: Exam 4 outlets
        device: 20 A
        loads:
          R-204: {kind: receptacle, room: 204, connection: plug}
          L-204: {kind: lighting, room: 204}
      15: {description: Store outlets, device: 20 A, loads: {R-215: {kind: receptacle, room: 215}}}
      1: {device: 20 A, loads: unknown}
      140: {device: 20 A, loads: none}
  LP-2B:
    kind: panelboard
    main: lugs
    fed_from: UTIL
    circuits: {14: {description: "Chiller </script><b>", device: 20 A}, 16: space, 18: spare}
equipment:
  DS-1: {kind: disconnect, fed_from: LP-2B/14}
traces:
  TR-1:
    date: 2026-04-01
    by: R.T.
    purpose: identify the breaker
    load: R-204
    concluded_circuit: LP-2A/14
    confirmed_by_opening: yes
"""


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Portfolio:
    return portfolio(tmp_path_factory.mktemp("house"), HOUSE)


@pytest.fixture(scope="module")
def site(house: Portfolio, tmp_path_factory: pytest.TempPathFactory) -> Path:
    return build_site(folder=house.folder.parent, as_of=AS_OF)


@pytest.fixture
def page(browser: Browser, site: Path) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 390, "height": 844})
    said: list[str] = []
    page.on("console", lambda message: said.append(message.text) if message.type == "error" else 0)
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: said.append(request.url) if _foreign(request.url) else 0)
    page.goto((site / paths.building("home")).as_uri())
    yield page
    assert said == []
    page.close()


def _foreign(address: str) -> bool:
    return not address.startswith(("file:", "blob:", "data:"))


def found(page: Page, typed: str) -> list[str]:
    """Return the tags that are found, best first."""
    page.fill("#find-box", typed)
    page.wait_for_function(
        "document.querySelector('.rg-finder [role=status]').textContent.match(/found|recorded/)"
    )
    return page.locator(".rg-found > :first-child").all_text_contents()


def test_everything_with_a_tag_can_be_found(house: Portfolio) -> None:
    tags = {entry.tag for entry in entries(View(house), "home")}
    assert tags == {
        *("204", "215", "UTIL", "LP-2A", "LP-2B", "DS-1"),
        *("LP-2A/1", "LP-2A/14", "LP-2A/15", "LP-2A/140", "LP-2B/14", "LP-2B/18"),
        *("R-204", "L-204", "R-215"),
    }


def test_an_entry_says_grade_sheet_and_stop(house: Portfolio) -> None:
    by_tag = {entry.tag: entry for entry in entries(View(house), "home")}
    assert by_tag["R-204"].grade == "confirmed"
    assert by_tag["L-204"].grade == "unverified"
    assert by_tag["LP-2A/14"].grade == ""
    assert by_tag["LP-2A/1"].stop
    assert not by_tag["LP-2A/14"].stop


def test_the_data_is_a_script_that_no_record_can_break(house: Portfolio) -> None:
    text = finder_file(View(house), "home").text
    assert "</script" not in text
    held: dict[str, Any] = json.loads(re.search(r"push\((.*)\);\n", text)[1])  # type: ignore[index]
    columns = {name: held[name] for name in ("kind", "tag", "text", "room", "grade", "stop")}
    assert {len(column) for column in columns.values()} == {len(held["tag"])}
    assert "Chiller </script><b>" in held["text"]


@pytest.mark.parametrize(
    ("typed", "first"),
    [
        ("LP-2A/14", "LP-2A/14"),
        ("lp2a 14", "LP-2A/14"),
        ("14 lp2a", "LP-2A/14"),
        ("lp-2a 14", "LP-2A/14"),
        ("204 recpt", "R-204"),
        ("outlet 204", "R-204"),
        ("recepticle 204", "R-204"),
        ("kitchen panel", "LP-2A"),
        ("chiler", "LP-2B/14"),
        ("exam light", "L-204"),
        ("215", "215"),
        ("ds1", "DS-1"),
        ("204", "204"),
    ],
)
def test_people_find_what_they_mean(page: Page, typed: str, first: str) -> None:
    assert found(page, typed)[0] == first


def test_a_number_is_never_taken_for_its_neighbour(page: Page) -> None:
    assert "LP-2A/15" not in found(page, "lp2a 14")
    assert not any(tag.startswith("LP-2B") for tag in found(page, "lp2a 14"))
    # While it may still be typed on, 14 may become 140; with a word after it, it may not.
    assert "LP-2A/140" in found(page, "lp2a 14")
    assert "LP-2A/140" not in found(page, "14 lp2a")


def test_what_is_not_there_says_so_and_what_is_near_is_called_near(page: Page) -> None:
    assert found(page, "qqqq") == []
    assert "Nothing is recorded" in page.inner_text(".rg-finder [role=status]")
    assert found(page, "lp2a qqqq")[0] == "LP-2A"
    assert "No entry has all of these words" in page.inner_text(".rg-finder [role=status]")


def test_a_load_shows_room_circuit_grade_and_both_ways_on(page: Page) -> None:
    found(page, "r-204")
    line = page.locator("#find-list li").first
    assert re.sub(r"\s+", " ", line.inner_text()).startswith(
        "R-204 receptacle Room 204. Circuit LP-2A/14 confirmed"
    )
    links = {a.inner_text(): a.get_attribute("href") for a in line.locator("a").all()}
    assert links["What LP-2A/14 darkens"] == "../home/downstream/LP-2A/14.html"
    assert links["Lockout sheet of LP-2A/14"] == "../home/lockout/LP-2A/14.html"
    assert links["204"] == "../home/rooms/204.html"


def test_every_link_of_an_answer_leads_somewhere(page: Page, site: Path) -> None:
    for typed in ("lp2", "204", "ds-1", "util", "store", "chiller"):
        found(page, typed)
        for anchor in page.locator("#find-list a").all():
            path, _, name = str(anchor.get_attribute("href")).partition("#")
            target = (site / "home" / path).resolve()
            assert target.is_file(), (typed, path)
            if name:
                assert f'id="{name}"' in target.read_text(encoding="utf-8"), (path, name)


def test_a_stop_is_told_and_text_of_the_records_is_only_text(page: Page) -> None:
    assert found(page, "lp2a 1")[0] == "LP-2A/1"
    assert "STOP" in page.locator("#find-list li").first.inner_text()
    found(page, "chiller")
    assert page.locator("#find-list b").count() == 0
    assert "</script><b>" in page.locator("#find-list li").first.inner_text()


def test_the_address_may_ask_and_the_keyboard_answers(browser: Browser, site: Path) -> None:
    page = browser.new_page()
    page.goto((site / paths.building("home")).as_uri() + "#find=204%20recpt")
    page.wait_for_selector("#find-list li")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.textContent") == "R-204"
    page.focus("#find-box")
    page.keyboard.press("Escape")
    assert page.input_value("#find-box") == ""
    assert not page.locator("#find-list").is_visible()
    page.close()


def test_without_a_script_there_is_no_box_that_does_nothing(browser: Browser, site: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / paths.building("home")).as_uri())
    assert not page.locator("#find-box").is_visible()
    context.close()
