"""The filter of a fault history in a browser, opened from the disk."""

import io
import shutil
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from recordgen.pages import faults
from recordgen.site.offline import HERE, STYLES
from tests.pages.fault_house import house

SAYS = "#fault-filter-says"


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return a folder with the histories, their scripts and styles, and no theme."""
    folder = tmp_path_factory.mktemp("filter")
    shutil.copytree(HERE / "assets", folder / "assets")
    for page in faults.pages(house(folder)):
        up = "../" * page.path.count("/")
        styles = "".join(f'<link rel="stylesheet" href="{up}{style}">' for style in STYLES)
        scripts = "".join(f'<script src="{up}{script}"></script>' for script in page.scripts)
        place = folder / page.path
        place.parent.mkdir(exist_ok=True)
        place.write_text(
            f'<!doctype html><html lang="en"><head><meta charset="utf-8">'
            f'<meta name="viewport" content="width=device-width">{styles}</head>'
            f'<body class="md-typeset">{page.html}{scripts}</body></html>',
            encoding="utf-8",
        )
    return folder


@pytest.fixture(scope="module")
def desk(browser: Browser) -> Iterator[Page]:
    """Yield a page without a network, where nothing may go wrong."""
    told: list[str] = []
    context = browser.new_context(viewport={"width": 1280, "height": 900}, offline=True)
    page = context.new_page()
    page.on("pageerror", lambda error: told.append(str(error)))
    page.on("console", lambda line: told.append(line.text) if line.type == "error" else None)
    yield page
    context.close()
    assert told == []


def shown(page: Page) -> list[str]:
    return page.locator("tr[data-fault]:visible th a").all_inner_texts()


def opened(page: Page, site: Path, path: str = "home/faults.html", hash_: str = "") -> Page:
    page.goto("about:blank")
    page.goto((site / path).as_uri() + hash_)
    return page


def test_every_fault_is_shown_at_first(desk: Page, site: Path) -> None:
    opened(desk, site)
    assert shown(desk) == ["F-2", "F-1", "F-3", "F-5", "F-4"]
    assert desk.locator(SAYS).inner_text() == "5 of 5 faults shown, no filter."
    assert desk.locator(SAYS).get_attribute("aria-live") == "polite"


# F-3 names no circuit, F-4 no day: neither is left out of a period, being unknown.
@pytest.mark.parametrize(
    ("hash_", "expected"),
    [
        ("#kind=ground+fault", ["F-2", "F-1"]),
        ("#state=open", ["F-2", "F-3", "F-5", "F-4"]),
        ("#state=closed", ["F-1"]),
        ("#state=found", ["F-3"]),
        ("#state=none", ["F-4"]),
        ("#state=gaps", ["F-2", "F-1", "F-3", "F-5", "F-4"]),
        ("#at=home%3ALP-1%2F1", ["F-2", "F-1", "F-5"]),
        ("#at%3Dhome%3ALP-1/1", ["F-2", "F-1", "F-5"]),
        ("#at=home%3ALP-1", ["F-2", "F-1", "F-3", "F-5", "F-4"]),
        # SAW is fed from LP-1/2; the fault itself names no circuit.
        ("#at=none", ["F-3"]),
        ("#from=2026-06-01", ["F-2", "F-4"]),
        ("#from=2025-01-02&to=2025-12-31", ["F-3", "F-5", "F-4"]),
        ("#words=fan+trips+again", ["F-2"]),
        ("#words=FAN", ["F-2", "F-1"]),
        ("#kind=ground+fault&state=open", ["F-2"]),
        ("#kind=arcing", []),
        ("#year-2025", ["F-2", "F-1", "F-3", "F-5", "F-4"]),
        ("#kind=%E0%A4%A", []),
        ("#nothing=1", ["F-2", "F-1", "F-3", "F-5", "F-4"]),
    ],
)
def test_an_address_shows_what_it_says(
    desk: Page, site: Path, hash_: str, expected: list[str]
) -> None:
    opened(desk, site, hash_=hash_)
    assert shown(desk) == expected
    assert desk.locator(SAYS).inner_text().startswith(f"{len(expected)} of 5 faults shown")


def test_the_filter_is_said_in_words_and_printed(desk: Page, site: Path) -> None:
    opened(desk, site, hash_="#kind=short&from=2026-01-01&to=2026-12-31")
    expected = (
        "1 of 5 faults shown. Filter: kind short; found from 2026-01-01; found to 2026-12-31. "
        "1 of them without a recorded day, so that the period cannot tell."
    )
    assert desk.locator(SAYS).inner_text() == expected
    text = "".join(p.extract_text() for p in PdfReader(io.BytesIO(desk.pdf())).pages)
    printed = " ".join(text.split())
    assert expected in printed
    assert "F-4 short" in printed
    assert "Fan trips again" not in printed
    assert "Found from 0" not in printed  # the form itself stays on the screen
    assert "whatever the filter below shows" in printed


def test_what_is_chosen_goes_into_the_address_and_back(desk: Page, site: Path) -> None:
    opened(desk, site)
    desk.get_by_label("Kind").select_option("ground fault")
    expect(desk.locator(SAYS)).to_contain_text("2 of 5")
    assert desk.url.endswith("#kind=ground+fault")
    desk.get_by_label("Words").fill("again")
    expect(desk.locator(SAYS)).to_contain_text("1 of 5")
    assert desk.url.endswith("#kind=ground+fault&words=again")
    desk.reload()
    assert shown(desk) == ["F-2"]
    assert desk.get_by_label("Words").input_value() == "again"
    desk.go_back()
    expect(desk.locator(SAYS)).to_contain_text("2 of 5")
    assert desk.get_by_label("Words").input_value() == ""
    desk.get_by_role("button", name="Show all").click()
    expect(desk.locator(SAYS)).to_contain_text("5 of 5 faults shown, no filter.")
    assert desk.get_by_label("Kind").input_value() == ""


def test_a_year_without_a_match_goes_and_comes_back(desk: Page, site: Path) -> None:
    opened(desk, site, hash_="#words=saw")
    assert desk.locator(".rg-year:visible h3").all_inner_texts() == ["2025"]
    desk.get_by_role("button", name="Show all").click()
    expect(desk.locator(".rg-year:visible h3")).to_have_count(3)


def test_what_the_page_does_not_hold_is_said(desk: Page, site: Path) -> None:
    opened(desk, site, hash_="#at=home%3ALP-9%2F1")
    assert desk.locator(SAYS).inner_text() == (
        "0 of 5 faults shown. Filter: panel or circuit home:LP-9/1 (none here)."
    )
    opened(desk, site, hash_="#from=2026-06-02&to=2026-01-01")
    assert "The period ends before it begins." in desk.locator(SAYS).inner_text()
    assert shown(desk) == ["F-4"]


def test_an_address_runs_nothing(desk: Page, site: Path) -> None:
    attack = "<img src=x onerror=window.struck=1>"
    opened(desk, site, hash_=f"#at={attack}&kind={attack}&words={attack}&from={attack}")
    assert shown(desk) == []
    assert desk.evaluate("window.struck") is None
    assert desk.locator("img").count() == 0
    assert "from" not in desk.locator(SAYS).inner_text().replace(attack, "")


def test_buildings_are_chosen_on_the_page_of_all(desk: Page, site: Path) -> None:
    opened(desk, site, "faults.html")
    desk.get_by_label("Building").select_option("shed")
    expect(desk.locator(SAYS)).to_contain_text("1 of 6")
    assert shown(desk) == ["shed:S-1"]
    opened(desk, site)
    assert desk.get_by_label("Building").count() == 0


def test_without_its_script_the_page_shows_everything(browser: Browser, site: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / "home/faults.html").as_uri())
    assert len(shown(page)) == 5
    assert not page.locator("#fault-filter").is_visible()
    assert page.locator("a[download]").count() == 2
    context.close()


def test_it_can_be_worked_on_a_phone(browser: Browser, site: Path) -> None:
    page = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page.goto((site / "faults.html").as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    heights: list[float] = page.evaluate(
        """[...document.querySelectorAll('.rg-filter :is(input, select, button)')].map(
             field => field.getBoundingClientRect().height)"""
    )
    assert len(heights) == 8
    assert min(heights) >= 44
    page.close()


@pytest.mark.parametrize("paper", ["A4", "Letter"])
def test_the_last_column_is_on_the_paper(desk: Page, site: Path, paper: str) -> None:
    """Words are looked for by place: text beyond the edge of the paper is in the file, too."""
    opened(desk, site, "faults.html")
    pdf = PdfReader(io.BytesIO(desk.pdf(format=paper)))
    width = float(pdf.pages[0].mediabox.width)
    seen: list[str] = []

    def visit(text: str, *place: Any) -> None:
        matrix, position, _font, size = place
        x = matrix[0] * position[4] + matrix[2] * position[5] + matrix[4]
        # A letter is on average less wide than 0.6 of the height of the font.
        if x > 0 and x + size * abs(matrix[0]) * len(text.strip()) * 0.6 < width:
            seen.append(text)

    for sheet in pdf.pages:
        sheet.extract_text(visitor_text=visit)
    text = " ".join(" ".join(seen).split())
    # The head of the last column in each of three years and for the unknown day.
    assert text.count("doubts") - text.count("gaps and doubts") == 4
    assert "calibration" in text
