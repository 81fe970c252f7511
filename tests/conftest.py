"""Fixtures for all tests."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser

from tests.browser import launched


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with launched() as running:
        yield running
