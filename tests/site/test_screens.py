"""What a person sees: on a phone, on a screen, in the dark and on paper."""

import io
import re
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser
from pypdf import PdfReader

from recordgen.site.offline import HERE
from tests.site.sample import sample_pages

PATHS = [each.path for each in sample_pages()]


@pytest.mark.parametrize("path", PATHS)
def test_nothing_scrolls_sideways_on_a_phone(
    browser: Browser, sample_site: Path, path: str
) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page.goto((sample_site / path).as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    page.close()


def test_the_directory_on_a_phone_shows_every_position_in_order(
    browser: Browser, sample_site: Path
) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page.goto((sample_site / "depot/panels/P1.html").as_uri())
    boxes: list[dict[str, Any]] = page.evaluate(
        """[...document.querySelectorAll('.rg-directory tbody .rg-position')].map(cell => {
             const box = cell.getBoundingClientRect();
             return {number: +cell.innerText, top: box.top, right: box.right}})"""
    )
    by_place = [box["number"] for box in sorted(boxes, key=lambda box: box["top"])]
    assert by_place == list(range(1, 43))
    assert all(0 < box["right"] <= 390 for box in boxes)
    page.close()


def test_the_directory_on_a_desk_has_odd_positions_left_and_even_ones_right(
    browser: Browser, sample_site: Path
) -> None:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto((sample_site / "depot/panels/P1.html").as_uri())
    places: list[list[float]] = page.evaluate(
        """[...document.querySelectorAll('.rg-directory tbody .rg-position')].map(cell =>
             [+cell.innerText, cell.getBoundingClientRect().left])"""
    )
    odd = [left for number, left in places if number % 2]
    even = [left for number, left in places if number % 2 == 0]
    assert len(set(odd)) == len(set(even)) == 1
    assert odd[0] < even[0]
    page.close()


def test_what_is_pressed_on_a_touch_screen_is_big_enough(
    browser: Browser, sample_site: Path
) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    for path in ("depot/lockout/P1.html", "depot/panels/P1.html"):
        page.goto((sample_site / path).as_uri())
        heights: list[float] = page.evaluate(
            """[...document.querySelectorAll('.rg-actions a, td > a, th > a')].map(
                 link => link.getBoundingClientRect().height)"""
        )
        assert heights
        assert min(heights) >= 44
    page.close()


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_no_column_is_lost_on_paper(browser: Browser, sample_site: Path, paper: str) -> None:
    """Cells are looked for by place: text beyond the edge of the paper is in the file, too."""
    pdf = printed(browser, sample_site / "depot/lockout/P2.html", paper)
    width = float(pdf.pages[0].mediabox.width)
    seen: set[str] = set()

    def visit(text: str, *place: Any) -> None:
        matrix, position, _font, size = place
        x = matrix[0] * position[4] + matrix[2] * position[5] + matrix[4]
        # A letter is on average less wide than 0.6 of the height of the font.
        end = x + size * abs(matrix[0]) * len(text.strip()) * 0.6
        if x > 0 and end < width:
            seen.update(re.findall(r"(?:last|plain)\d+", text))

    for page in pdf.pages:
        page.extract_text(visitor_text=visit)
    assert seen == {f"{mark}{n}" for mark in ("last", "plain") for n in range(60)}


def test_paper_carries_the_sheet_and_nothing_of_the_theme(
    browser: Browser, sample_site: Path
) -> None:
    pages = [
        p.extract_text() for p in printed(browser, sample_site / "depot/lockout/P1.html").pages
    ]
    text = "\n".join(pages)
    assert "STOP: a trace contradicts this record" in text
    assert "Locked by" in text
    for furniture in ("Search", "Table of contents", "Demo", "Downstream list", "Buildings"):
        assert furniture not in text
    for number, page in enumerate(pages, 1):
        assert "Lockout of P1 · revision 1a2b3c4d · as of 2026-03-01" in page
        assert f"page {number} of {len(pages)}" in page


def test_paper_is_white_when_the_screen_is_dark(browser: Browser, sample_site: Path) -> None:
    page = browser.new_page(color_scheme="dark")
    page.goto((sample_site / "depot/lockout/P1.html").as_uri())
    colours = """[getComputedStyle(document.body).backgroundColor,
                  getComputedStyle(document.querySelector('h1')).color]"""
    dark_paper, dark_ink = page.evaluate(colours)
    assert dark_paper != "rgb(255, 255, 255)"
    page.emulate_media(media="print")
    assert (
        page.evaluate(colours) == ["rgb(255, 255, 255)", "rgb(0, 0, 0)"] != [dark_paper, dark_ink]
    )
    page.close()


def printed(browser: Browser, path: Path, paper: str = "Letter") -> PdfReader:
    page = browser.new_page()
    page.goto(path.as_uri())
    pdf = page.pdf(format=paper)
    page.close()
    return PdfReader(io.BytesIO(pdf))


def luminance(colour: str) -> float:
    """Return relative luminance as WCAG 2.2 defines it."""
    channels = [int(colour[n : n + 2], 16) / 255 for n in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    """Return the contrast ratio as WCAG 2.2 defines it."""
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_contrast_is_computed_as_wcag_has_it() -> None:
    """Black on white is 21:1 (WCAG 2.2, definition of contrast ratio); #767676 is known as the
    lightest grey that passes on white (4.54:1, from memory)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("scheme", [":root", '[data-md-color-scheme="slate"]'])
def test_text_has_the_contrast_that_wcag_asks_for(scheme: str) -> None:
    """WCAG 2.2 success criterion 1.4.3: 4.5:1 for text; 1.4.11: 3:1 for what bounds a control."""
    css = (HERE / "assets/recordgen.css").read_text()
    block = css[css.index(f"{scheme} {{") :].split("}")[0]
    token = dict(re.findall(r"--rg-([a-z-]+): (#[0-9a-f]{6});", block))
    pairs = [
        *(("ink", under) for under in ("paper", "shade", "stop-shade", "warn-shade", "good-shade")),
        *((text, under) for text in ("quiet", "link") for under in ("paper", "shade")),
        ("stop", "stop-shade"),
        ("on-stop", "stop"),
        ("on-warn", "warn"),
        ("on-good", "good"),
        ("paper", "ink"),
        ("paper", "quiet"),
    ]
    for text, under in pairs:
        assert contrast(token[text], token[under]) >= 4.5, (text, under)
    assert contrast(token["strong-line"], token["paper"]) >= 3
