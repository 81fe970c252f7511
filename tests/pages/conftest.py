"""The demo's pages, made once, and the demo's site, built once."""

import datetime as dt
import functools
from collections.abc import Callable
from pathlib import Path

import pytest

from recordgen.pages.page import Page
from recordgen.pages.table import all_pages
from recordgen.portfolio import Portfolio, load_portfolio
from recordgen.site.build import build_site
from tests.pages.reading import Element, read

ROOT = Path(__file__).parents[2]
AS_OF = dt.date(2026, 11, 25)

Document = Callable[[str], Element]


@pytest.fixture(scope="session")
def demo() -> Portfolio:
    return load_portfolio(ROOT / "buildings", AS_OF, shown_as="buildings")


@pytest.fixture(scope="session")
def page_list(demo: Portfolio) -> list[Page]:
    return list(all_pages(demo))


@pytest.fixture(scope="session")
def pages(page_list: list[Page]) -> dict[str, Page]:
    return {page.path: page for page in page_list}


@pytest.fixture(scope="session")
def document(pages: dict[str, Page]) -> Document:
    """Return a function page path → the parsed page."""
    return functools.cache(lambda path: read(pages[path].html))


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of the built site of the demo."""
    target = tmp_path_factory.mktemp("demo") / "site"
    return build_site(ROOT / "mkdocs.yml", target, as_of=AS_OF)
