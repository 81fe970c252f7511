"""Record text stays text: on the pages, in titles, in the navigation, in the search.

tests/cases/good/everything writes every key of every record (a test beside the models holds it to
that), so that a field added to the models is tried here by itself.
"""

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from recordgen.pages.page import Page
from recordgen.pages.table import all_pages
from recordgen.portfolio import load_portfolio
from recordgen.records.building import BuildingRecords
from recordgen.records.loader import load_records
from recordgen.site.build import build_site
from tests.conftest import AS_OF
from tests.pages.hostile import BUILDING, declaring, is_text, text_fields, write_records
from tests.pages.reading import Element, is_outside, landing, read
from tests.pages.test_links import GUIDE
from tests.records.test_models import models

SCRIPT = "<script>window.struck = 1; alert(1)</script>"
HOSTILE = [
    SCRIPT,
    '"><img src=x onerror="window.struck = 1; alert(1)">',
    "' onmouseover='alert(1)' x='",
    "</title></style></textarea><svg/onload=alert(1)>",
    "{{ 7*7 }} {% raw %} {# no #} ${7*7}",
    "javascript:alert(1)",
    "`code` ``[x](javascript:alert(1)) *b* __c__",
    "&lt;b&gt; &amp; <b> & <!-- ]]>",
    "⚡ Ω 漢字 עברית 🔌",
    "W" * 400,
]
ELEMENTS = {"script", "img", "svg", "style", "iframe", "object", "link", "b", "textarea", "title"}


def pages_of(folder: Path, hostile: str) -> tuple[list[str], list[Page]]:
    """Return the texts written, each with a number of its own, and the pages made of them."""
    written: list[str] = []

    def replace(_: str) -> str:
        written.append(f"{hostile} №{len(written)}.")
        return written[-1]

    portfolio = load_portfolio(write_records(folder, replace), AS_OF)
    assert [str(p) for p in portfolio.problems if p.severity == "error"] == []
    return written, list(all_pages(portfolio))


def test_every_text_field_of_every_record_is_tried(tmp_path: Path) -> None:
    loaded = load_records(write_records(tmp_path, lambda _: SCRIPT))
    assert loaded.problems == []
    records = loaded.buildings[BUILDING].records
    tried = set(text_fields([getattr(records, name) for name in BuildingRecords.model_fields]))
    known = {
        (declaring(model, name), name)
        for model in models()
        for name, field in model.model_fields.items()
        if is_text(name, field)
    }
    assert known - tried == set()
    assert len(tried) > 80


def attacks(document: Element) -> Iterator[str]:
    # Drawings of our own say how large they are, and what they show in a title.
    drawings = [each for each in document.all("svg") if "viewbox" in each.attributes]
    own = {id(each) for drawing in drawings for each in (drawing, *drawing.all("title"))}
    for element in document.all():
        if element.name in ELEMENTS and id(element) not in own:
            yield f"<{element.name}>"
        yield from (name for name in element.attributes if name.startswith("on"))
        for name in ("href", "src", "action", "style", "srcset"):
            value = element.attributes.get(name, "")
            if is_outside(value) or (name in ("src", "style", "srcset") and value):
                yield f"{name}={value}"


@pytest.mark.parametrize("hostile", HOSTILE, ids=range(len(HOSTILE)))
def test_text_is_text_on_every_page(tmp_path: Path, hostile: str) -> None:
    written, pages = pages_of(tmp_path, hostile)
    files = {file.path for page in pages for file in page.files}
    paths = {page.path for page in pages} | files | GUIDE
    shown = []
    for page in pages:
        document = read(page.html)
        assert list(attacks(document)) == [], page.path
        for link in document.all("a"):
            assert landing(link.attributes["href"], page.path)[0] in paths
        shown.append(document.text)
    everything = "\n".join(shown)
    # Every field is shown somewhere, letter for letter.
    assert [text for text in written if " ".join(text.split()) not in everything] == []


@pytest.fixture(scope="module")
def hostile_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("hostile")
    text = " ".join(HOSTILE)
    write_records(folder, lambda _: text)
    return build_site(folder=folder, as_of=AS_OF)


def test_nothing_runs_in_a_browser(browser: Browser, hostile_site: Path) -> None:
    """Every page kind; titles, navigation, and the results of a search for the text."""
    page = browser.new_page()
    told: list[str] = []
    page.on("dialog", lambda dialog: (told.append(dialog.message), dialog.dismiss()))
    page.on("pageerror", lambda error: told.append(str(error)))
    page.on("console", lambda line: told.append(line.text) if line.type == "error" else None)
    page.on(
        "request",
        lambda request: None if request.url.startswith("file:") else told.append(request.url),
    )
    paths = sorted(hostile_site.rglob("*.html"))
    kinds = {path.parent if path.stem != "index" else path: path for path in paths}
    # Pages beside each other in a building's folder are each of a kind of their own.
    chosen = {*kinds.values(), *(p for p in paths if p.parent == hostile_site / BUILDING)}
    assert len(chosen) > 10
    for path in sorted(chosen):
        page.goto(path.as_uri())
        assert page.evaluate("window.struck") is None
        assert page.locator("img[src=x]").count() == 0
        page.mouse.move(300, 300)
    page.goto((hostile_site / "index.html").as_uri())
    page.locator("input[data-md-component=search-query]").click()
    page.keyboard.type("alert")
    page.locator(".md-search-result__item a").first.wait_for(timeout=15_000)
    page.wait_for_timeout(300)
    assert "<script>" in page.locator(".md-search-result__list").inner_text()
    assert page.evaluate("window.struck") is None
    page.close()
    assert told == []


def test_the_search_index_holds_text_that_no_page_can_run(hostile_site: Path) -> None:
    index = json.loads((hostile_site / "search" / "search_index.json").read_text(encoding="utf-8"))
    assert index["docs"]
    for entry in index["docs"]:
        # The theme puts titles and texts of its index into the page as they are.
        for piece in (entry["title"], entry["text"]):
            for name in ("script", "img", "svg"):
                assert f"<{name}" not in piece
