"""Prints held against their pages: the code read from the printed sheet, and what the page says."""

import datetime as dt
import io
import re
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, Page

from recordgen.pages import paths
from recordgen.pages.page import Page as Made
from recordgen.pages.table import all_pages
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from recordgen.site.build import build_site
from tests.network.asking import portfolio
from tests.pages.label_house import YARD, records

AS_OF = dt.date(2026, 11, 25)
ADDRESS = "https://records.example.org"
MM = 96 / 25.4
CODED = {
    "lockout sheet": paths.lockout("home:LP-1/1"),
    "lockout sheet of a load": paths.lockout("home:AHU-1"),
    "downstream list": paths.downstream("home:LP-1/1"),
    "notice": paths.notice("home:LP-1/1"),
    "directory": paths.panel("home:LP-1"),
    "door card": paths.door_card("home:LP-1"),
}
SHEET = CODED["lockout sheet"]


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Portfolio:
    return portfolio(tmp_path_factory.mktemp("house"), records(), yard=YARD)


@pytest.fixture(scope="module")
def made(house: Portfolio) -> dict[str, Made]:
    return {page.path: page for page in all_pages(house, ADDRESS)}


@pytest.fixture(scope="module")
def site(house: Portfolio) -> Path:
    folder = house.folder.parent
    (folder / "mkdocs.yml").write_text(
        f"site_name: House\nsite_url: {ADDRESS}/\ntheme: material\ndocs_dir: pages\n"
        "plugins: [search, offline, recordgen]\n"
    )
    (folder / "pages").mkdir()
    return build_site(folder=folder, as_of=AS_OF)


@pytest.fixture
def opened(browser: Browser, site: Path) -> Iterator[Callable[[str], Page]]:
    page = browser.new_page(viewport={"width": 390, "height": 844})
    said: list[str] = []
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("dialog", lambda dialog: said.append(dialog.message) or dialog.dismiss())
    page.on("request", lambda r: said.append(r.url) if r.url.startswith("http") else None)

    def open_it(hash_text: str, path: str = SHEET) -> Page:
        page.goto("about:blank")
        page.goto(f"{(site / path).as_uri()}#{hash_text}")
        return page

    yield open_it
    page.close()
    assert said == []


def alert(page: Page) -> str:
    box = page.get_by_role("alert")
    assert box.count() == 1
    assert box.bounding_box()["y"] < 200  # type: ignore[index]
    return re.sub(r"\s+", " ", box.inner_text())


@pytest.mark.parametrize("path", CODED.values(), ids=CODED)
def test_the_code_of_a_print_leads_to_its_page_with_its_revision(
    browser: Browser, site: Path, made: dict[str, Made], path: str
) -> None:
    # A picture of the first sheet of Letter, as 192 dots an inch print it.
    page = browser.new_page(viewport={"width": 725, "height": 940}, device_scale_factor=2)
    page.goto((site / path).as_uri())
    page.emulate_media(media="print")
    picture = Image.open(io.BytesIO(page.screenshot()))
    (read,) = zxingcpp.read_barcodes(picture)
    assert read.text == f"{ADDRESS}/{path}#print={made[path].revision},{AS_OF}"
    assert read.ec_level == "M"
    assert (site / path).is_file()
    box = page.locator(".rg-print-code .rg-code").bounding_box()
    assert box is not None
    assert box["width"] / MM >= 20
    # Nothing lies over or under it.
    assert page.evaluate(
        """() => { const code = document.querySelector('.rg-print-code').getBoundingClientRect();
          return [...document.querySelectorAll('article :is(h1, p, table, section, div, ul, dl)')]
            .filter(one => !one.closest('.rg-print-code') && !one.querySelector('.rg-print-code'))
            .filter(one => getComputedStyle(one).borderTopWidth !== '0px')
            .filter(one => { const box = one.getBoundingClientRect(); return box.width
              && box.left < code.right && box.right > code.left
              && box.top < code.bottom && box.bottom > code.top; })
            .map(one => one.className || one.tagName) }"""
    ) in ([], ["rg-sheet-head"])
    page.emulate_media(media="screen")
    assert not page.locator(".rg-print-code").is_visible()
    page.close()


def test_every_sheet_of_a_kind_that_is_hung_up_has_a_code(made: dict[str, Made]) -> None:
    hung = ("lockout/", "downstream/", "notice/", "panels/", "door-card/")
    for path, page in made.items():
        wanted = path.partition("/")[2].startswith(hung)
        assert page.html.count('class="rg-print-code"') == wanted, path


def test_the_revision_is_the_same_with_another_address_or_none(
    house: Portfolio, made: dict[str, Made]
) -> None:
    for page in all_pages(house):
        if "/labels/" not in page.path:
            assert page.revision == made[page.path].revision
        assert '<svg class="rg-code"' not in page.html
    (sheet,) = (page for page in all_pages(house) if page.path == SHEET)
    assert "no address of the site is configured" in sheet.html


def test_the_same_revision_is_current(opened: Callable[[str], Page], made: dict[str, Made]) -> None:
    page = opened(f"print={made[SHEET].revision},2026-11-25")
    said = alert(page)
    assert said.startswith("This print is current")
    assert "as of 2026-11-25" in said
    assert page.evaluate("globalThis.changesData") is None


def test_another_revision_is_not_and_says_what_is_dated_since(
    opened: Callable[[str], Page], made: dict[str, Made]
) -> None:
    page = opened("print=0123abcd,2026-10-01")
    page.wait_for_selector(".rg-print-check :text('version history')")
    said = alert(page)
    assert said.startswith(
        "Do not use this print: revision 0123abcd of 2026-10-01, "
        f"the page is now revision {made[SHEET].revision}"
    )
    lines = [re.sub(r"\s+", " ", t) for t in page.locator(".rg-print-check li").all_inner_texts()]
    assert lines[0].startswith("2026-11-20 F-01: nuisance trip made safe, <img src=x")
    assert lines[1].startswith("2026-11-22 House: YP: panel changed")
    # What was before the print was made is in it.
    assert "2026-09-01" not in said
    link = page.get_by_role("alert").get_by_role("link", name="F-01")
    link.click()
    assert page.url.endswith(paths.fault("home:F-01"))


def test_a_print_that_is_newer_than_this_copy_of_the_site(opened: Callable[[str], Page]) -> None:
    said = alert(opened("print=0123abcd,2027-01-05"))
    assert "older. Get a newer copy of the site" in said


@pytest.mark.parametrize(
    "text",
    [
        "print=<img src=x onerror=alert(1)>",
        "print=%3Cimg%20src=x%20onerror=alert(1)%3E,2026-01-01",
        "print=0123abcd",
        "print=0123abcd,2026-13-45",
        "print=%E0%A4%A,2026-01-01",
        "print=" + "x" * 5000,
        "print=",
        "print=../../0123abcd,2026-01-01",
        "print=__proto__,constructor",
    ],
)
def test_what_cannot_be_read_is_only_text(opened: Callable[[str], Page], text: str) -> None:
    page = opened(text)
    said = alert(page)
    assert said.startswith("Do not use this print: its code cannot be read")
    assert page.locator(".rg-print-check img").count() == 0
    assert len(said) < 300
    assert page.evaluate("globalThis.changesData") is None


def test_scanners_may_escape_what_they_read(
    opened: Callable[[str], Page], made: dict[str, Made]
) -> None:
    said = alert(opened(f"print%3D{made[SHEET].revision}%2C2026-11-25".replace("%3D", "=")))
    assert said.startswith("This print is current")


def test_no_other_anchor_is_taken_for_a_print(opened: Callable[[str], Page]) -> None:
    assert opened("locks").get_by_role("alert").count() == 0
    assert opened("", paths.building("home")).get_by_role("alert").count() == 0


def test_a_second_code_takes_the_place_of_the_first(
    opened: Callable[[str], Page], made: dict[str, Made]
) -> None:
    page = opened("print=0123abcd,2026-10-01")
    page.evaluate(f"location.hash = 'print={made[SHEET].revision},2026-11-25'")
    page.wait_for_selector(".rg-print-check :text('is current')")
    assert page.locator(".rg-print-check li").count() == 0


def test_what_the_page_says_of_a_print_is_not_printed(opened: Callable[[str], Page]) -> None:
    page = opened("print=0123abcd,2026-10-01")
    page.emulate_media(media="print")
    assert not page.locator(".rg-print-check").is_visible()


def test_changes_of_connected_buildings_are_named(house: Portfolio) -> None:
    view = View(house)
    assert view.connected == {"home": ("home", "yard"), "yard": ("home", "yard")}
