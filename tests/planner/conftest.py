"""Random portfolios with their questions, made once."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, Page

from tests.planner.corners import corners
from tests.planner.random_portfolios import asked_of, cases
from tests.planner.running import Asked, page_with, scripts


@pytest.fixture(scope="session")
def some() -> list[Asked]:
    return [*corners(), *(asked_of(case) for case in cases(150))]


@pytest.fixture(scope="module")
def answering(browser: Browser) -> Iterator[Page]:
    page = page_with(browser, scripts().values())
    yield page
    page.close()
