"""A site of hand-made pages: these tests are about the frame, not about electricity."""

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest

from recordgen.pages.page import Page
from recordgen.problems import Problem
from recordgen.site import plugin
from recordgen.site.build import build_site
from tests.site.sample import SamplePortfolio, sample_pages

Publish = Callable[..., None]


@pytest.fixture
def owner(tmp_path: Path) -> Path:
    """Return a folder with (empty) records and no mkdocs.yml."""
    (tmp_path / "buildings").mkdir()
    return tmp_path


@pytest.fixture
def publish(monkeypatch: pytest.MonkeyPatch) -> Publish:
    """Return a function that sets what the records amount to."""

    def set_up(
        pages: tuple[Page, ...] | None = None,
        problems: tuple[Problem, ...] = (),
        asked: list[tuple[Path, date, str]] | None = None,
    ) -> None:
        made = sample_pages() if pages is None else pages

        def load(folder: Path, as_of: date, shown_as: str) -> SamplePortfolio:
            if asked is not None:
                asked.append((folder, as_of, shown_as))
            return SamplePortfolio(problems, made)

        monkeypatch.setattr(plugin, "load_portfolio", load)
        monkeypatch.setattr(plugin, "all_pages", lambda portfolio, address: iter(portfolio.pages))

    set_up()
    return set_up


@pytest.fixture(scope="session")
def sample_site(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Return the built site of the sample pages, for tests that only look at it."""
    folder = tmp_path_factory.mktemp("sample")
    (folder / "buildings").mkdir()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(plugin, "load_portfolio", lambda *_: SamplePortfolio())
        patch.setattr(plugin, "all_pages", lambda portfolio, address: iter(sample_pages()))
        return build_site(folder=folder, as_of=date(2026, 3, 1))
