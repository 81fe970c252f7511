"""Every kind of page held against the rules of axe-core, narrow and wide, light and dark.

The rules are those of WCAG 2.0, 2.1 and 2.2, levels A and AA, and those that axe-core calls best
practice (https://dequeuniversity.com/rules/axe/4.12). They find what a machine can find.
"""

import datetime as dt
import shutil
from collections.abc import Iterator
from itertools import cycle
from pathlib import Path
from typing import Any

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
    page.set_viewport_size(ViewportSize(width=width, height=HEIGHTS[width]))
    page.emulate_media(color_scheme=scheme)
    for event, handler in heard.items():
        page.on(event, handler)  # type: ignore[call-overload]
    try:
        page.goto((site / path).as_uri())
        shown = page.evaluate("document.body.getAttribute('data-md-color-scheme')")
        wide = page.evaluate("document.documentElement.scrollWidth")
        broken = violations(page)
    finally:
        for event, handler in heard.items():
            page.remove_listener(event, handler)
    assert shown == {"light": "default", "dark": "slate"}[scheme]
    assert said == []
    assert wide <= width
    assert broken == []


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
    page.set_content(
        '<main><h1>A</h1><img src="data:,"><p style="color:#aaa;background:#fff">pale</p>'
        '<input><a href="#top"></a></main>'
    )
    broken = {line.split(":")[0] for line in violations(page)}
    assert {"image-alt", "color-contrast", "label", "link-name", "html-has-lang"} <= broken
