"""Fixtures for all tests."""

from collections.abc import Iterator

import pytest
from hypothesis import settings
from playwright.sync_api import Browser

from tests.browser import launched

# No test depends on time: a busy machine is no mistake of the program.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with launched() as running:
        yield running
