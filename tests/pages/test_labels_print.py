"""Labels on paper: where each of them is, that no text is cut, and what its code leads to."""

import datetime as dt
import io
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, Page
from pypdf import PdfReader

from recordgen.pages import paths
from recordgen.pages.label_sheets import SHEETS, Fit, LabelSheet, fit_of
from recordgen.site.build import build_site
from tests.network.asking import portfolio
from tests.pages.label_house import YARD, records

AS_OF = dt.date(2026, 11, 25)
ADDRESS = "https://records.example.org/site"
MM = 96 / 25.4
PAPER_MM = {"Letter": (215.9, 279.4), "A4": (210.0, 297.0)}
# What a sheet is sold by: size of one label and how many there are.
SOLD_AS = {
    "letter-30": (66.675, 25.4, 30),
    "letter-10": (101.6, 50.8, 10),
    "a4-24": (70, 36, 24),
    "a4-10": (105, 57, 10),
}
NEAR_MM = 0.5
PLACES = """() => [...document.querySelectorAll('.rg-label')].map(one => {
  const box = one.getBoundingClientRect();
  return {left: box.left, top: box.top + scrollY, width: box.width, height: box.height};
})"""
CUT = """() => [...document.querySelectorAll('.rg-label')].filter(one => {
  const box = one.getBoundingClientRect();
  const foot = one.querySelector('.rg-label-foot').getBoundingClientRect().top;
  return [...one.querySelectorAll('p')].some(line => {
    const mine = line.getBoundingClientRect();
    if (!mine.height) return false;
    const low = line.matches('.rg-label-foot') ? box.bottom : foot;
    return mine.bottom > low + 0.5 || line.scrollWidth > line.clientWidth + 1
      || mine.right > box.right + 0.5;
  });
}).map(one => one.textContent)"""


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("shop")
    portfolio(folder, records(), yard=YARD)
    (folder / "mkdocs.yml").write_text(
        f"site_name: Shop\ntheme: material\ndocs_dir: pages\nplugins:\n  - search\n  - offline\n"
        f"  - recordgen: {{address: '{ADDRESS}/'}}\n"
    )
    (folder / "pages").mkdir()
    return build_site(folder=folder, as_of=AS_OF)


@pytest.fixture
def labels(browser: Browser, site: Path) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.goto((site / paths.labels("home", "circuits", "LP-1")).as_uri())
    yield page
    page.close()


def expected(sheet: LabelSheet, number: int) -> tuple[float, float, int]:
    """Return where a label stands on its sheet [mm], and on which one, both from 0."""
    page, place = divmod(number, sheet.count)
    row, column = divmod(place, sheet.columns)
    return sheet.left_mm + column * sheet.pitch_mm, sheet.top_mm + row * sheet.height_mm, page


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_a_sheet_is_what_it_is_sold_as_and_centred(sheet: LabelSheet) -> None:
    width, height, count = SOLD_AS[sheet.name]
    assert (sheet.width_mm, sheet.height_mm, sheet.count) == (width, height, count)
    paper_width, paper_height = PAPER_MM[sheet.paper]
    used = sheet.pitch_mm * (sheet.columns - 1) + sheet.width_mm
    assert 2 * sheet.left_mm + used == pytest.approx(paper_width, abs=0.05)
    assert 2 * sheet.top_mm + sheet.rows * sheet.height_mm == pytest.approx(paper_height, abs=0.05)


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_labels_stand_where_the_paper_has_them(labels: Page, sheet: LabelSheet) -> None:
    labels.check(f"#sheet-{sheet.name}")
    labels.emulate_media(media="print")
    width, _ = PAPER_MM[sheet.paper]
    labels.set_viewport_size({"width": round(width * MM), "height": 1000})
    places: list[dict[str, float]] = labels.evaluate(PLACES)
    assert len(places) == 42
    for number, place in enumerate(places):
        left, top, page = expected(sheet, number)
        assert place["left"] / MM == pytest.approx(left, abs=NEAR_MM)
        # In a window, sheets follow each other without what is left of each at its lower edge.
        above = page * (sheet.top_mm + sheet.rows * sheet.height_mm)
        assert place["top"] / MM == pytest.approx(top + above, abs=NEAR_MM)
        assert place["width"] / MM == pytest.approx(sheet.width_mm, abs=0.1)
        assert place["height"] / MM == pytest.approx(sheet.height_mm, abs=0.1)
    assert labels.evaluate(CUT) == []


def printed(page: Page) -> PdfReader:
    return PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True, print_background=True)))


def text_places(reader: PdfReader) -> list[tuple[int, str, float, float]]:
    """Return sheet, text and place [mm from the upper left corner] of every text on paper."""
    found: list[tuple[int, str, float, float]] = []
    for number, sheet in enumerate(reader.pages):
        high = float(sheet.mediabox.height)

        def seen(text: str, cm: Any, tm: Any, *_: Any, n: int = number, h: float = high) -> None:
            x = tm[4] * cm[0] + tm[5] * cm[2] + cm[4]
            y = tm[4] * cm[1] + tm[5] * cm[3] + cm[5]
            if text.strip():
                found.append((n, text.strip(), x * 25.4 / 72, (h - y) * 25.4 / 72))

        sheet.extract_text(visitor_text=seen)
    return found


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_on_paper_there_are_labels_and_nothing_else(labels: Page, sheet: LabelSheet) -> None:
    labels.check(f"#sheet-{sheet.name}")
    reader = printed(labels)
    assert len(reader.pages) == -(-42 // sheet.count)
    size = [float(edge) * 25.4 / 72 for edge in reader.pages[0].mediabox[2:]]
    assert size == pytest.approx(PAPER_MM[sheet.paper], abs=0.5)
    feet = [place for place in text_places(reader) if place[1].startswith("rev ")]
    assert len(feet) == 42
    for number, (page, _, x, y) in enumerate(feet):
        left, top, on = expected(sheet, number)
        assert page == on
        # The last line begins at the padding, and its base stands a little above the lower one.
        assert x == pytest.approx(left + sheet.side_mm, abs=NEAR_MM)
        # Most printers leave 4.3 mm of the paper blank (common practice).
        assert x > 4.3
        assert y == pytest.approx(top + sheet.height_mm - 1.5 - 0.45, abs=NEAR_MM)
    text = " ".join(page.extract_text() for page in reader.pages)
    assert "LP-1/42" in text
    for word in ("Revision", "Labels", "100 %", "page 1", "aid and no proof"):
        assert word not in text


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_a_text_that_is_too_long_refers_to_the_directory(labels: Page, sheet: LabelSheet) -> None:
    labels.check(f"#sheet-{sheet.name}")
    labels.emulate_media(media="print")
    label = labels.locator(".rg-label", has_text="LP-1/7 ").or_(labels.locator(".rg-label").nth(6))
    shown = label.first.inner_text()
    whole = shown.count("north bench") == 12
    assert whole != ("see directory" in shown)
    assert "LP-1/7" in shown
    assert "see directory" not in labels.locator(".rg-label").nth(0).inner_text()


@pytest.mark.parametrize("sheet", SHEETS.values(), ids=SHEETS)
def test_every_code_is_read_and_leads_to_its_circuit(
    labels: Page, site: Path, sheet: LabelSheet
) -> None:
    labels.check(f"#sheet-{sheet.name}")
    labels.emulate_media(media="print")
    width, _ = PAPER_MM[sheet.paper]
    labels.set_viewport_size({"width": round(width * MM), "height": 1000})
    picture = Image.open(io.BytesIO(labels.screenshot(full_page=True)))
    picture = picture.resize((picture.width * 2, picture.height * 2), Image.Resampling.NEAREST)
    read = {found.text for found in zxingcpp.read_barcodes(picture)}
    page = paths.panel("home:LP-1")
    assert read == {f"{ADDRESS}/{page}#position-{n}" for n in range(1, 43)}
    html = (site / page).read_text(encoding="utf-8")
    assert all(f'id="position-{n}"' in html for n in range(1, 43))


@pytest.mark.parametrize("of", ["panels", "equipment", "outlets"])
def test_codes_of_the_other_kinds_lead_to_pages(browser: Browser, site: Path, of: str) -> None:
    page = browser.new_page(viewport={"width": 1000, "height": 900}, device_scale_factor=2)
    tag = "LP-1" if of == "outlets" else ""
    page.goto((site / paths.labels("home", of, tag)).as_uri())
    assert page.evaluate(CUT) == []
    count = page.locator(".rg-label").count()
    assert count == {"panels": 2, "equipment": 4, "outlets": 40}[of]
    read = [
        found.text
        for label in page.locator(".rg-label").all()
        for found in zxingcpp.read_barcodes(Image.open(io.BytesIO(label.screenshot())))
    ]
    assert len(read) == count
    for address in read:
        path, _, anchor = address.removeprefix(f"{ADDRESS}/").partition("#")
        html = (site / path).read_text(encoding="utf-8")
        assert not anchor or f'id="{anchor}"' in html
    page.close()


def test_the_sheet_is_chosen_without_a_script(browser: Browser, site: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((site / paths.labels("home", "circuits", "LP-1")).as_uri())
    page.get_by_label("A4, 70 x 36 mm").check()
    assert len(printed(page).pages) == 2
    context.close()


@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_scrolls_sideways(browser: Browser, site: Path, width: int) -> None:
    page = browser.new_page(viewport={"width": width, "height": 844})
    for path in (paths.labels("home", "index"), paths.labels("home", "circuits", "LP-1")):
        page.goto((site / path).as_uri())
        assert page.evaluate("document.documentElement.scrollWidth") == width
    page.close()


def test_letters_shrink_in_steps_and_whole_lines_are_left_out_at_the_last() -> None:
    sheet = SHEETS["letter-30"]
    fits = [fit_of("LP-1/7", [("", "Bench"), ("", "word " * n)], sheet) for n in range(1, 80)]
    points = [fit.points for fit in fits]
    assert points == sorted(points, reverse=True)
    assert len(set(points)) > 3
    assert {fit.kept for fit in fits if fit.points > 6} == {2}
    assert fits[-1] == Fit(6, 1)
    assert fit_of("x" * 2000, [("", "y")], sheet) == Fit(6, 0)


def test_a_small_label_of_a_panel_says_what_feeds_it(browser: Browser, site: Path) -> None:
    """What NEC 408.4(B) asks for (from memory) comes before what may be left to the page."""
    page = browser.new_page()
    page.goto((site / paths.labels("home", "panels")).as_uri())
    page.emulate_media(media="print")
    said = [re.sub(r"\s+", " ", text) for text in page.locator(".rg-label").all_inner_texts()]
    assert said[0].startswith(
        "LP-1 Shop panel System: 208Y/120 Fed from: UTIL Fault current: 14.2 kA"
    )
    assert "2024-03-01" in said[0]
    assert "Fed from: LP-1/41 and yard:YP/1" in said[1]
    assert "Fault current: not recorded" in said[1]
    assert "name not recorded" in said[1]
    assert "System: not recorded" in said[1]
    page.close()
