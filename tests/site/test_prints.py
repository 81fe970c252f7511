"""What people hang on a door or take along, printed as a browser prints it, on Letter and A4.

The sizes of paper are those of ANSI/ASME Y14.1 (Letter, 8.5 by 11 in) and ISO 216 (A4, 210 by
297 mm), at 72 points to the inch.
"""

import io
import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from pypdf import PdfReader

from recordgen.pages.page import Page as SitePage
from recordgen.pages.table import all_pages
from recordgen.pages.wording import CAUTION
from recordgen.portfolio import Portfolio
from recordgen.site import plugin
from recordgen.site.build import build_site
from tests.network.asking import AS_OF, portfolio
from tests.pages.fault_house import HOUSE
from tests.pages.test_worksheets_print import inside
from tests.site.door_house import DOORS, LONG

WHOLE = {
    "shop/lockout/FAN.html": ("A way it would take", "Evidence", "Off: by, time"),
    "home/downstream/MSB/1.html": ("Evidence",),
    "home/notice/MSB/1.html": ("Time",),
    "shop/faults/F-1.html": ("Trace", "Has it along", "Calculated for 20 °C"),
    "shop/traces/T-1.html": ("Note",),
    "shop/runs/RUN.html": ("Ground",),
    "shop/faults.html": ("doubts",),
    "shop/audit.html": ("Where in the records",),
    "shop/inspections.html": (),
}
"""Page → the heads of its last columns."""
PRINTED = frozenset(
    (
        *WHOLE,
        *(f"home/door-card/{panel}.html" for panel in ("P42", "P84", "MSB")),
        "home/lockout/RACK.html",
        "home/one-line.html",
        "index.html",
    )
)
PAPERS = {"Letter": (612, 792), "A4": (595, 842)}
Printed = Callable[[str, str], PdfReader]


@pytest.fixture(scope="module")
def printed(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Printed]:
    """Return a function of a page's path and a paper, which prints it once."""
    folder = tmp_path_factory.mktemp("prints")
    portfolio(folder, DOORS, shop=HOUSE)

    def some(found: Portfolio, address: str) -> Iterator[SitePage]:
        return (page for page in all_pages(found, address) if page.path in PRINTED)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plugin, "all_pages", some)
        site: Path = build_site(folder=folder, as_of=AS_OF)
    tab = browser.new_page()

    @cache
    def pdf(path: str, paper: str) -> PdfReader:
        tab.goto((site / path).as_uri())
        return PdfReader(io.BytesIO(tab.pdf(format=paper, prefer_css_page_size=True)))

    yield pdf
    tab.close()


def words(pdf: PdfReader, number: int) -> str:
    return " ".join(pdf.pages[number].extract_text().split())


def text_of(pdf: PdfReader) -> str:
    """Return all of its text; that it lies within the paper is asked of `inside`."""
    return " ".join(words(pdf, at) for at in range(len(pdf.pages)))


@pytest.fixture(params=list(PAPERS))
def paper(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_42_positions_hang_on_one_page(printed: Printed, paper: str) -> None:
    pdf = printed("home/door-card/P42.html", paper)
    assert len(pdf.pages) == 1
    text = text_of(pdf)
    assert text.count("Pos") == inside(pdf).count("Pos") == 2
    assert all(re.search(rf"(?<!\S){n}(?!\S)", text) for n in range(1, 43) if n != 4)
    for n in range(6, 38):
        assert f"{LONG.format(n=n)} · room {100 + n}" in text
    assert "Found different?" in text
    assert CAUTION in text


def test_84_positions_hang_on_two_pages(printed: Printed, paper: str) -> None:
    pdf = printed("home/door-card/P84.html", paper)
    assert len(pdf.pages) == 2
    for page, positions in enumerate((range(1, 41), range(46, 85))):
        text = words(pdf, page)
        for n in positions:
            assert LONG.format(n=n) in text
            assert LONG.format(n=n + 42) not in text or n + 42 in positions
        # The compressor's poles are on both.
        assert text.count("41-43-45 Compressor") == 1
        assert "P84" in text
        assert CAUTION in text
        assert "Found different?" in text
        assert f"page {page + 1} of 2" in text


def test_a_card_says_what_feeds_the_panel_and_how_it_stands(printed: Printed) -> None:
    text = text_of(printed("home/door-card/P42.html", "Letter"))
    for said in (
        "House",
        "As of 2026-11-25",
        "P42: Workroom power",
        "System: 208Y/120",
        "Bus: 225 A",
        "Main: lugs: no main device here",
        "Room: E1 Electrical room: left of the door",
        "Fed from: MSB/1, 225 A 3P, room E1 Electrical room: behind the door at the end of the",
        # The generator stands behind a switch that is normally open: it is a source all the same.
        "Sources that may reach it: U, G",
        "Tell before an outage: not recorded",
        "STOP: 1 notice to stop on the record of this panel, at 4B",
        "1-3-5 Saw · room not recorded",
        "4B STOP Clock",
        "NORMALLY OPEN",
        "LOCKED now",
        "on, load unknown",
        "SPARE",
        "SPACE",
        "fan · room R9",
    ):
        assert said in text, said
    assert re.search("revision [0-9a-f]{8} · as of 2026-11-25", text)


def test_a_card_says_what_is_not_recorded(printed: Printed) -> None:
    text = text_of(printed("home/door-card/P84.html", "Letter"))
    for label in ("System", "Bus", "Main", "Room"):
        assert f"{label}: not recorded" in text
    assert "Odd positions left and even ones right are assumed, not recorded." in text
    assert "Phases do not follow: the system is not recorded." in text
    card = text_of(printed("home/door-card/P42.html", "Letter"))
    # Positions 38 and 41: not the same as a space, which stands at 40.
    assert len(re.findall(r"(?:37|41) .{0,99}?not recorded|not recorded (?:38|41)", card)) >= 1
    assert "“Not recorded”: nobody has written what is at that position." in card


def test_a_card_is_read_at_arms_length(printed: Printed, paper: str) -> None:
    """No letter of the directory is smaller than 8 points."""
    sizes: list[float] = []

    def visit(text: str, *place: object) -> None:
        matrix, _position, _font, size = place
        if "workroom" in text or "Compressor" in text or "Fed from" in text:
            sizes.append(float(size) * abs(matrix[0]) * abs(_position[0]))  # type: ignore[index,arg-type]

    for page in printed("home/door-card/P84.html", paper).pages:
        page.extract_text(visitor_text=visit)
    assert len(sizes) > 40
    assert min(sizes) >= 8


def test_devices_of_a_switchboard_stand_one_below_the_other(printed: Printed) -> None:
    text = text_of(printed("home/door-card/MSB.html", "Letter"))
    assert re.search("1 (225 A 3P )?Panel P42( 225 A 3P)? 2 ", text), text
    assert "BACKFED from G" in text
    assert "rating not recorded" in text


def test_no_lock_is_torn_from_its_place(printed: Printed, paper: str) -> None:
    """Thirty locks take more than a page; each stands whole on one of them."""
    pdf = printed("home/lockout/RACK.html", paper)
    lock = re.compile(
        r"P30/(\d+) 20 A 1P.*?Room E1: third from the door\. Key: K7"
        r".*?Lock hardware: .*?Breaks .*?→ P30/\1(?!\d)"
    )
    by_page = [[int(n) for n in lock.findall(words(pdf, at))] for at in range(len(pdf.pages))]
    assert sum(bool(found) for found in by_page) >= 2
    assert sorted(n for found in by_page for n in found) == list(range(1, 31))
    assert "Open and lock 30 places" in words(pdf, 0)


def test_a_lockout_sheet_says_first_what_to_lock(printed: Printed, paper: str) -> None:
    first = words(printed("shop/lockout/FAN.html", paper), 0)
    said = [
        first.index(part)
        for part in ("Lockout sheet: FAN", "Open and lock 1 place", "Open, lock and tag: 1 place")
    ]
    assert said == sorted(said)
    assert "Breaks UTIL" in first
    assert len(printed("shop/lockout/FAN.html", paper).pages) <= 2


@pytest.mark.parametrize("path", list(WHOLE))
def test_a_print_is_whole(printed: Printed, paper: str, path: str) -> None:
    """Its last columns are on the paper, its pages numbered, and nothing of the site's frame."""
    pdf = printed(path, paper)
    seen, text = inside(pdf), text_of(pdf)
    for heading in WHOLE[path]:
        assert heading in seen, heading
    assert "As of 2026-11-25" in text
    for number, page in enumerate(pdf.pages, 1):
        box = (round(page.mediabox.width), round(page.mediabox.height))
        assert max(abs(a - b) for a, b in zip(box, PAPERS[paper], strict=True)) <= 1
        foot = " ".join(page.extract_text().split())
        assert re.search("revision [0-9a-f]{8} · as of 2026-11-25", foot)
        assert f"page {number} of {len(pdf.pages)}" in foot
    assert "Test before touch" in text
    for furniture in ("Skip to content", "Find", "Made with"):
        assert not re.search(rf"(?<!\w){furniture}(?!\w)", text), furniture


def test_readings_of_a_run_are_printed_beside_its_drawing(printed: Printed) -> None:
    """A drawing alone is read wrongly where two readings stand on one another."""
    for path in ("shop/faults/F-1.html", "shop/runs/RUN.html", "shop/traces/T-1.html"):
        text = text_of(printed(path, "Letter"))
        for shown in ("78", "77", "75", "76", "22", "6"):
            assert re.search(rf"(?<!\S){shown} 4(?!\S)", text), (path, shown)


def test_a_diagram_lies_on_its_side(printed: Printed, paper: str) -> None:
    for page in printed("home/one-line.html", paper).pages:
        assert page.mediabox.width > page.mediabox.height
    assert "P84" in inside(printed("home/one-line.html", paper))
