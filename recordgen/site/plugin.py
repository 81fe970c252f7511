"""The MkDocs plugin: translates between MkDocs' events and finished pages, and knows no more."""

from __future__ import annotations

import gc
import os
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

import jinja2
from mkdocs.config import base
from mkdocs.config import config_options as options
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import BuildError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority, get_plugin_logger
from mkdocs.structure.files import Files
from mkdocs.structure.nav import Navigation
from mkdocs.structure.pages import Page as MkDocsPage

from recordgen.as_of import as_of_date
from recordgen.pages.page import Page
from recordgen.pages.table import all_pages
from recordgen.portfolio import load_portfolio
from recordgen.problems import Problem, has_errors, in_order
from recordgen.site.address import site_address
from recordgen.site.generated import GeneratedPage, add_pages, checked_paths
from recordgen.site.guide import add_guide
from recordgen.site.kept import FALLBACK, write_kept
from recordgen.site.navigation import render_once_per_section, site_navigation
from recordgen.site.offline import HERE, add_assets, is_live, search_languages, settle_offline
from recordgen.site.policy import Policies
from recordgen.site.swap import mark

# MkDocs counts warnings for --strict only below its own name.
log = get_plugin_logger("recordgen")


@contextmanager
def records_left_alone() -> Iterator[None]:
    """Leave what has been read out of Python's search for garbage in cycles.

    All of it is needed until the pages are made; to walk it again and again takes a seventh of the
    time.
    """
    gc.freeze()
    try:
        yield
    finally:
        gc.unfreeze()


class RecordsUnreadable(BuildError):
    """The records cannot be read; nothing is built, and what was built before stays.

    Attributes
    ----------
    problems : tuple of Problem
        The errors, in order of file and line.
    """

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problem for problem in problems if problem.severity == "error")
        lines = "\n".join(str(problem) for problem in self.problems)
        count = f"{len(self.problems)} error" + ("s" if len(self.problems) != 1 else "")
        super().__init__(f"the records cannot be read, nothing was built: {count}\n{lines}")


def shown_as(records: Path, config: MkDocsConfig) -> str:
    """Return what pages call the folder of the records: as seen from the configuration file."""
    here = Path(config.config_file_path).parent if config.config_file_path else Path.cwd()
    return Path(os.path.relpath(records, here)).as_posix()


class RecordgenConfig(base.Config):
    """Options of the plugin in `mkdocs.yml`."""

    records = options.Dir(default="buildings", exists=True)
    as_of = options.Optional(options.Type((str, date)))
    address = options.Optional(options.Type(str))


class RecordgenPlugin(BasePlugin[RecordgenConfig]):
    """Makes the pages of the records in memory and hands them to MkDocs."""

    def __init__(self) -> None:
        self._sources: Sequence[Page] = ()
        self._pages: list[GeneratedPage] = []
        self._as_of: date = date.min
        self._theme_dirs: list[str] = []
        self._policies = Policies()

    # Early: the offline plugin reads what is set here.
    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Settle the configuration and put our templates before the theme's."""
        for complaint in settle_offline(config):
            log.warning(complaint)
        self._theme_dirs = list(config.theme.dirs)
        owners_first = 1 if config.theme.custom_dir else 0
        config.theme.dirs.insert(owners_first, str(HERE / "overrides"))
        config.theme.static_templates.add(FALLBACK)
        return config

    def on_pre_build(self, *, config: MkDocsConfig) -> None:
        """Read the records and make all pages, before MkDocs empties the folder of the site."""
        chosen = self.config.as_of
        try:
            self._as_of = as_of_date(str(chosen) if chosen else None)
            address = site_address(self.config.address, config.site_url)
        except ValueError as error:
            raise BuildError(str(error)) from None
        records = Path(self.config.records)
        portfolio = load_portfolio(records, self._as_of, shown_as(records, config))
        problems = in_order(portfolio.problems)
        if has_errors(problems):
            raise RecordsUnreadable(problems)
        for problem in problems:
            report = log.info if problem.severity == "note" else log.warning
            report(str(problem))
        log.info("The records are read; making the pages")
        with records_left_alone():
            self._sources = checked_paths(tuple(all_pages(portfolio, address)))
        log.info(f"{len(self._sources)} pages are made; putting the site together")

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add the pages, the guide and the assets to what MkDocs found on disk."""
        add_assets(files, config)
        add_guide(files, config)
        self._pages = add_pages(self._sources, self._as_of, files, config)
        return files

    def on_nav(self, nav: Navigation, *, config: MkDocsConfig, files: Files) -> Navigation:
        """Put the buildings before the hand-written pages."""
        return site_navigation(self._pages, nav)

    def on_env(
        self, env: jinja2.Environment, *, config: MkDocsConfig, files: Files
    ) -> jinja2.Environment:
        """Prepare the theme's templates, and take the clock out of the site map."""
        render_once_per_section(env, self._theme_dirs)
        self._policies = Policies(live=is_live(config))
        # A live site has nothing to keep: its pages change with every save.
        env.globals["keeps_offline"] = not self._policies.live
        for file in files.documentation_pages():
            if file.page is not None:
                file.page.update_date = self._as_of.isoformat()
        return env

    # Last, as the policy names digests of what is in the page.
    @event_priority(-100)
    def on_post_page(self, output: str, *, page: MkDocsPage, config: MkDocsConfig) -> str:
        """Say in each page what it may run and fetch."""
        made = page.content or "" if isinstance(page, GeneratedPage) else ""
        return self._policies.with_policy(output, made)

    @event_priority(-100)
    def on_post_template(
        self, output_content: str, *, template_name: str, config: MkDocsConfig
    ) -> str:
        """Likewise in the pages that the theme adds."""
        return self._policies.with_policy(output_content)

    # After the offline plugin, which writes a file of its own.
    @event_priority(-200)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """List what a browser may keep, and mark the folder as one that we may replace."""
        site = Path(config.site_dir)
        if not self._policies.live:
            write_kept(site, self._sources, search_languages(config))
        mark(site)

    def on_serve(
        self, server: LiveReloadServer, *, config: MkDocsConfig, builder: Callable[..., Any]
    ) -> LiveReloadServer:
        """Build again when a record changes."""
        server.watch(self.config.records)
        return server
