"""Every kind of page held against the rules of axe-core, narrow and wide, light and dark.

The rules are those of WCAG 2.0, 2.1 and 2.2, levels A and AA, and those that axe-core calls best
practice (https://dequeuniversity.com/rules/axe/4.12). They find what a machine can find.
"""

import datetime as dt
import os
import re
import shutil
from collections.abc import Iterator
from itertools import cycle
from pathlib import Path
from typing import Any
from urllib.parse import unquote

import pytest
from axe_playwright_python.base import AXE_SCRIPT
from playwright.sync_api import Browser, ViewportSize
from playwright.sync_api import Page as BrowserPage

from recordgen.pages.table import PAGE_KINDS
from recordgen.pages.view import View
from recordgen.portfolio import load_portfolio
from recordgen.site.build import build_site

AS_OF = dt.date(2026, 11, 25)
GOOD = Path(__file__).parents[1] / "cases" / "good" / "everything" / "buildings"
TAGS = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
# Preloading asks again for every style sheet, which a page from a file may not; only the rule about
# turning the screen reads them.
OPTIONS: dict[str, Any] = {
    "resultTypes": ["violations"],
    "runOnly": list(TAGS),
    "preload": False,
}
HEIGHTS = {390: 844, 820: 1180, 1440: 900}
ALWAYS = ((390, "light"), (1440, "dark"))
SCHEMES = {"light": "default", "dark": "slate"}
"""What the theme calls them."""
IN_TURN = ((390, "dark"), (820, "light"), (1440, "light"), (820, "dark"))
"""How a page of each kind is looked at besides: one of these each, which keeps the tests short."""


def one_of_each() -> dict[str, list[str]]:
    """Return kind of page → its fullest page in every depth of folders, and every kind of index."""
    view = View(load_portfolio(GOOD, AS_OF, shown_as="buildings"))
    found: dict[str, list[str]] = {}
    for kind, make in PAGE_KINDS.items():
        fullest: dict[tuple[int, bool], tuple[int, str]] = {}
        for page in make(view):
            shape = (page.path.count("/"), page.path.endswith("/index.html"))
            fullest[shape] = max(fullest.get(shape, (0, "")), (len(page.html), page.path))
        found[kind] = [path for _, path in fullest.values()]
    return found


BY_KIND = one_of_each()
PATHS = [path for paths in BY_KIND.values() for path in paths]
LOOKS = [
    *((path, *look) for look in ALWAYS for path in PATHS),
    *((paths[0], *look) for paths, look in zip(BY_KIND.values(), cycle(IN_TURN), strict=False)),
]


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("everything")
    shutil.copytree(GOOD, folder / "buildings")
    return build_site(folder=folder, as_of=AS_OF)


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[BrowserPage]:
    """Return one page for all: a browser that starts anew for each costs more than the rules."""
    page = browser.new_page(has_touch=True)
    # Else the theme keeps the colours of the look before.
    page.add_init_script("try { localStorage.clear() } catch { /* a page without an origin */ }")
    yield page
    page.close()


def test_every_kind_of_page_is_looked_at() -> None:
    assert [kind for kind, paths in BY_KIND.items() if not paths] == []


@pytest.mark.parametrize(("path", "width", "scheme"), LOOKS)
def test_a_page_breaks_no_rule(
    page: BrowserPage, site: Path, path: str, width: int, scheme: Any
) -> None:
    said: list[str] = []

    def hear(text: str) -> None:
        said.append(text)

    def console(message: Any) -> None:
        if message.type == "error":
            hear(message.text)

    def failed(error: Any) -> None:
        hear(str(error))

    def asked(request: Any) -> None:
        if not request.url.startswith(("file:", "blob:", "data:")):
            hear(request.url)

    heard = {"console": console, "pageerror": failed, "request": asked}
    for event, handler in heard.items():
        page.on(event, handler)  # type: ignore[call-overload]
    try:
        show(page, (site / path).as_uri(), width, scheme)
        wide = page.evaluate("document.documentElement.scrollWidth")
        broken = violations(page)
    finally:
        for event, handler in heard.items():
            page.remove_listener(event, handler)
    assert said == []
    assert wide <= width
    assert broken == []


def show(page: BrowserPage, address: str, width: int, scheme: Any) -> None:
    """Open a page; the theme takes up the colours of the system after it has loaded."""
    page.set_viewport_size(ViewportSize(width=width, height=HEIGHTS[width]))
    page.emulate_media(color_scheme=scheme)
    page.goto(address)
    page.wait_for_selector(f'body[data-md-color-scheme="{SCHEMES[scheme]}"]')


def violations(page: BrowserPage) -> list[str]:
    """Return the rules that are broken, each with the elements that break it."""
    page.evaluate(AXE_SCRIPT)
    found = page.evaluate("options => axe.run(document, options)", OPTIONS)
    return [
        f"{rule['id']}: {node['target']} {node['html'][:200]} {node.get('failureSummary', '')}"
        for rule in found["violations"]
        for node in rule["nodes"]
    ]


def test_the_rules_find_what_is_wrong(page: BrowserPage) -> None:
    """A page with known faults: a test that cannot fail would be none."""
    # The policy of the page before would keep its style away.
    page.goto("about:blank")
    page.set_content(
        '<main><h1>A</h1><img src="data:,"><p style="color:#aaa;background:#fff">pale</p>'
        '<input><a href="#top"></a></main>'
    )
    broken = {line.split(":")[0] for line in violations(page)}
    assert {"image-alt", "color-contrast", "label", "link-name", "html-has-lang"} <= broken


@pytest.mark.parametrize(("width", "scheme"), ALWAYS)
def test_what_the_scripts_add_breaks_no_rule(
    page: BrowserPage, site: Path, width: int, scheme: Any
) -> None:
    show(page, (site / "everything/planner.html").as_uri() + "#open=LP-1/1", width, scheme)
    page.wait_for_selector("#planner-chosen li")
    assert violations(page) == []
    show(page, (site / "everything/index.html").as_uri(), width, scheme)
    page.fill("#find-box", "LP-1")
    page.wait_for_selector("#find-list li")
    assert violations(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_a_wide_drawing_scrolls_in_its_own_place_at_its_own_size(
    page: BrowserPage, site: Path
) -> None:
    show(page, (site / "everything/one-line.html").as_uri(), 390, "light")
    drawn, wanted, inside = page.evaluate(
        """() => { const drawing = document.querySelector('.rg-wide svg');
             return [drawing.getBoundingClientRect().width, +drawing.getAttribute('width'),
                     drawing.parentElement.scrollWidth > drawing.parentElement.clientWidth] }"""
    )
    assert drawn == wanted > 390
    assert inside


@pytest.mark.parametrize(
    ("start", "end", "taps"),
    [
        ("everything/index.html", "everything/panels/LP-1.html", 1),
        ("everything/index.html", "everything/rooms/102.html", 2),
        ("everything/index.html", "everything/downstream/LP-1/1.html", 2),
        ("everything/index.html", "everything/lockout/LP-1/1.html", 2),
        ("everything/index.html", "everything/faults.html", 1),
        ("everything/index.html", "everything/instruments.html", 1),
        ("everything/index.html", "everything/inspections.html", 1),
        ("index.html", "faults.html", 1),
        ("index.html", "everything/instruments.html", 2),
        ("index.html", "everything/inspections.html", 2),
    ],
)
def test_what_is_asked_for_is_near(site: Path, start: str, end: str, taps: int) -> None:
    """Links of the pages themselves; the menu of the theme and the finder come on top.

    The number of taps is what the project asks of itself: two at most from where people begin.
    """
    reached = {site / start}
    for _ in range(taps):
        assert site / end not in reached
        reached |= {there for here in reached for there in linked(here)}
    assert site / end in reached


def linked(page: Path) -> set[Path]:
    """Return the pages that the body of a page links to."""
    if page.suffix != ".html" or not page.is_file():
        return set()
    body = page.read_text("utf-8").partition('<h1 id="top"')[2].partition("</article>")[0]
    hrefs = re.findall(r'<a [^>]*?href="([^"#:]+)', body)
    return {Path(os.path.normpath(page.parent / unquote(href))) for href in hrefs}


def test_nothing_moves_for_those_who_asked_for_that(page: BrowserPage, site: Path) -> None:
    page.emulate_media(reduced_motion="reduce")
    page.goto((site / "everything/index.html").as_uri())
    moving = page.evaluate(
        """[...document.querySelectorAll('*')].filter(each => {
             const style = getComputedStyle(each);
             return parseFloat(style.transitionDuration) || style.animationName !== 'none'
           }).map(each => each.className)"""
    )
    page.emulate_media(reduced_motion="no-preference")
    assert moving == []


def test_no_surface_is_pure_white_in_the_dark(page: BrowserPage, site: Path) -> None:
    """Common practice for a screen that is read in a dim room."""
    for path in PATHS[::4]:
        show(page, (site / path).as_uri(), 390, "dark")
        assert (
            page.evaluate(
                """[...document.querySelectorAll('body, body *')].filter(each =>
                 getComputedStyle(each).backgroundColor === 'rgb(255, 255, 255)'
                 && each.getClientRects().length).map(each => each.outerHTML.slice(0, 120))"""
            )
            == []
        ), path
