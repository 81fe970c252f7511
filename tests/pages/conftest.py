"""The demo's pages by their paths, and parsed."""

import functools
from collections.abc import Callable

import pytest

from recordgen.pages.page import Page
from tests.pages.reading import Element, read

Document = Callable[[str], Element]


@pytest.fixture(scope="session")
def pages(page_list: list[Page]) -> dict[str, Page]:
    return {page.path: page for page in page_list}


@pytest.fixture(scope="session")
def document(pages: dict[str, Page]) -> Document:
    """Return a function page path → the parsed page."""
    return functools.cache(lambda path: read(pages[path].html))
