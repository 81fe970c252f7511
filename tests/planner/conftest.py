"""Random portfolios with their questions, made once."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from recordgen.portfolio import Portfolio, load_portfolio
from recordgen.site.build import build_site
from tests.planner.corners import corners
from tests.planner.random_portfolios import asked_of, cases
from tests.planner.running import Asked, page_with, scripts

ROOT = Path(__file__).parents[2]
AS_OF = dt.date(2026, 11, 25)


@pytest.fixture(scope="session")
def some() -> list[Asked]:
    return [*corners(), *(asked_of(case) for case in cases(300))]


@pytest.fixture(scope="module")
def answering(browser: Browser) -> Iterator[Page]:
    page = page_with(browser, scripts().values())
    yield page
    page.close()


@pytest.fixture(scope="session")
def demo() -> Portfolio:
    return load_portfolio(ROOT / "buildings", AS_OF, shown_as="buildings")


@pytest.fixture(scope="session")
def demo_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the folder of the built site of the demo."""
    target = tmp_path_factory.mktemp("planner") / "site"
    return build_site(ROOT / "mkdocs.yml", target, as_of=AS_OF)
