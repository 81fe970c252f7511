"""Fixtures for all tests: a browser, and the demo, loaded, made into pages and built once."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings
from playwright.sync_api import Browser

from recordgen.calc.study.distribution import Distribution
from recordgen.pages.page import Page
from recordgen.pages.table import all_pages
from recordgen.portfolio import Portfolio, load_portfolio
from recordgen.site import plugin
from recordgen.site.build import build_site
from tests.browser import launched

ROOT = Path(__file__).parents[1]
AS_OF = dt.date(2026, 11, 25)

# No test depends on time: a busy machine is no mistake of the program.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Function]) -> None:
    """Keep the tests of a file in one process, and all that look at the demo in the same one."""
    of_demo = {item.path for item in items if "demo" in getattr(item, "fixturenames", ())}
    for item in items:
        group = "demo" if item.path in of_demo else str(item.path.relative_to(ROOT))
        item.add_marker(pytest.mark.xdist_group(group))


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    with launched() as running:
        yield running


@pytest.fixture(scope="session")
def demo() -> Portfolio:
    return load_portfolio(ROOT / "buildings", AS_OF, shown_as="buildings")


@pytest.fixture(scope="session")
def demo_distribution(demo: Portfolio) -> Distribution:
    return Distribution(demo.buildings, demo.network, demo.supply)


@pytest.fixture(scope="session")
def page_list(demo: Portfolio) -> list[Page]:
    return list(all_pages(demo))


@pytest.fixture(scope="session")
def demo_site(
    demo: Portfolio, page_list: list[Page], tmp_path_factory: pytest.TempPathFactory
) -> Path:
    """Return the folder of the built site of the demo."""
    target = tmp_path_factory.mktemp("demo") / "site"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plugin, "load_portfolio", lambda *_, **__: demo)
        patch.setattr(plugin, "all_pages", lambda *_: iter(page_list))
        return build_site(ROOT / "mkdocs.yml", target, as_of=AS_OF)
