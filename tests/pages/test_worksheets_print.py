"""Worksheets as they are used: on paper, written on by hand; and read on a phone.

Of the yard's sheets those of LP have 42 positions, nearly all of them in use.
"""

import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from recordgen.pages import overview, portfolio_page, worksheets
from recordgen.pages.page import Page as SitePage
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from recordgen.site import plugin
from recordgen.site.build import build_site
from tests.conftest import AS_OF
from tests.pages.worksheet_yard import yard

OF_LP = [
    f"yard/worksheets/{kind}/LP.html"
    for kind in ("identify-the-breaker", "list-what-is-downstream", "directory-walk-through")
]
OTHERS = [
    f"yard/worksheets/{name}.html"
    for name in (
        "along-a-run/RN-1",
        "fault",
        "identify-the-breaker",
        "list-what-is-downstream",
        "locate-a-short",
        "lockout-sheet",
        "sort-a-bundle/b7",
    )
]
MM = 96 / 25.4
"""Pixels of a style sheet in a millimetre."""
# What the paper's width leaves between the margins of the print style, 12 mm each.
WIDTH_MM = {"Letter": 215.9 - 24, "A4": 210 - 24}


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("yard")
    yard(folder)

    def some(portfolio: Portfolio, address: str) -> Iterator[SitePage]:
        view = View(portfolio, address)
        for kind in (portfolio_page, overview, worksheets):
            yield from kind.pages(view)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plugin, "all_pages", some)
        return build_site(folder=folder, as_of=AS_OF)


@pytest.fixture
def tab(browser: Browser) -> Iterator[Page]:
    page = browser.new_page()
    yield page
    page.close()


def printed(tab: Page, path: Path, paper: str) -> PdfReader:
    tab.goto(path.as_uri())
    return PdfReader(io.BytesIO(tab.pdf(format=paper)))


def inside(pdf: PdfReader) -> str:
    """Return the text that lies within the edges of the paper, one line for each piece."""
    width = float(pdf.pages[0].mediabox.width)
    seen: list[str] = []

    def visit(text: str, *place: Any) -> None:
        matrix, position, _font, size = place
        x = matrix[0] * position[4] + matrix[2] * position[5] + matrix[4]
        # A letter is on average less wide than 0.6 of the height of the font.
        if x > 0 and x + size * abs(matrix[0]) * len(text.strip()) * 0.6 < width:
            seen.append(text)

    for page in pdf.pages:
        page.extract_text(visitor_text=visit)
    return " ".join(" ".join(seen).split())


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("path", OF_LP)
def test_42_positions_fit_two_pages(tab: Page, site: Path, path: str, paper: str) -> None:
    pdf = printed(tab, site / path, paper)
    assert len(pdf.pages) == 2
    text = inside(pdf)
    for number in range(7, 39):
        assert f"Outlets of bay {number} " in text
    for part in ("Shed panel", "Before you start", "What this becomes in the records", "notes"):
        if not (part == "notes" and "walk" in path):
            assert part in text


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_both_sides_of_the_panel_are_on_the_paper(tab: Page, site: Path, paper: str) -> None:
    pdf = printed(tab, site / OF_LP[0], paper)
    words = re.findall(r"\S+", inside(pdf))
    for number in (str(n) for n in (*range(1, 4), *range(5, 43)) if n != 4):
        assert number in words, number
    # Both columns of positions and both pairs of blanks have their heads, on each page of them.
    assert words.count("Pos") >= 2
    assert words.count("sens.") == words.count("Pos")


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_no_column_is_lost_and_there_is_room_for_handwriting(
    tab: Page, site: Path, paper: str
) -> None:
    """Every cell and blank ends within the width that the paper leaves, and is 8 mm high."""
    width = round(WIDTH_MM[paper] * MM)
    tab.set_viewport_size({"width": width, "height": 900})
    tab.emulate_media(media="print")
    for path in OF_LP + OTHERS:
        tab.goto((site / path).as_uri())
        right: float = tab.evaluate(
            """Math.max(...[...document.querySelectorAll('.rg-worksheet *')].map(
                 each => each.getBoundingClientRect().right))"""
        )
        assert right <= width, path
        assert tab.evaluate("document.documentElement.scrollWidth") == width, path
        cells: list[list[float]] = tab.evaluate(
            """[...document.querySelectorAll('.rg-form tbody td.rg-fill')].map(cell => {
                 const box = cell.getBoundingClientRect(); return [box.width, box.height]})"""
        )
        blanks: list[str] = tab.evaluate(
            """[...document.querySelectorAll(
                 '.rg-blank:not(.rg-blank--ticks, .rg-blank--known)')].map(
                 blank => getComputedStyle(blank, '::after').height)"""
        )
        assert cells, path
        assert blanks, path
        assert min(cell_width for cell_width, _ in cells) >= 8 * MM, path
        assert min(height for _, height in cells) >= 8 * MM, path
        assert min(float(height.removesuffix("px")) for height in blanks) >= 8 * MM, path


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_every_page_says_which_sheet_it_is_of(tab: Page, site: Path, paper: str) -> None:
    pdf = printed(tab, site / OF_LP[0], paper)
    for number, page in enumerate(pdf.pages, 1):
        assert page.mediabox.height > page.mediabox.width
        text = page.extract_text()
        assert "Worksheet: identify the breaker, LP · revision" in text
        assert f"page {number} of {len(pdf.pages)}" in text


def test_what_is_for_the_screen_stays_there(tab: Page, site: Path) -> None:
    text = inside(printed(tab, site / OF_LP[0], "Letter"))
    assert "Made for paper" not in text
    assert "All worksheets" not in text
    assert "Made for paper" in tab.inner_text("body")


def test_a_phone_shows_it_to_be_read(browser: Browser, site: Path) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    for path in (*OF_LP, *OTHERS, "yard/worksheets.html"):
        page.goto((site / path).as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") == 390, path
        cut: int = page.evaluate(
            """[...document.querySelectorAll('.rg-worksheet :is(th, td, p, li, div)')].filter(
                 each => each.getBoundingClientRect().right > 390).length"""
        )
        assert cut == 0, path
    page.close()
