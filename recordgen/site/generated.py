"""A `recordgen.pages` page as a MkDocs page that is never Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from html import escape
from pathlib import PurePosixPath

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import BuildError
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import TableOfContents, _TocToken, get_toc
from mkdocs.utils import get_relative_url

from recordgen.pages.page import Heading, Page

DATA_SUFFIXES = (".js", ".csv")
# Followed by the next cell, term or link at once; white space does not show in these places.
_CELL_END = re.compile(r"(</(?:td|th|dt|dd|li)>|</a>(?=<a ))(?=<)")


class GeneratedPage(MkDocsPage):
    """A page whose HTML is finished: MkDocs only puts the theme around it.

    The theme's templates take titles, labels and headings as HTML, so they are escaped here.
    """

    def __init__(self, source: Page, as_of: date, file: File, config: MkDocsConfig) -> None:
        super().__init__(escape(source.nav or source.title), file, config)
        self.source = source
        self.as_of = as_of

    def read_source(self, config: MkDocsConfig) -> None:
        """Set what MkDocs would read from front matter.

        The theme strips tags from a title and so undoes its escaping, except from `meta.title`.
        The theme's search looks at `meta.search` before any hook of ours could still set it.
        """
        self.markdown = ""
        self.meta = {
            "title": escape(self.source.title),
            "revision": self.source.revision,
            "print_foot": css_string(
                f"{self.source.title} · revision {self.source.revision} · as of {self.as_of}"
            ),
        }
        if self.source.building is not None:
            self.meta["building"] = self.source.building
            self.meta["overview"] = self.source.path == f"{self.source.building}/index.html"
        self.meta["scripts"] = [get_relative_url(s, self.source.path) for s in self.source.scripts]
        if not self.source.searched:
            self.meta["search"] = {"exclude": True}

    def render(self, config: MkDocsConfig, files: Files) -> None:
        """Hand over the finished HTML.

        The theme's search joins the words of neighbouring cells unless white space is between
        them: room 213 with 180 VA would be found as 213180 only.
        """
        html = self.source.html
        self.content = _CELL_END.sub(r"\1 ", html) if self.source.searched else html
        self.toc = table_of_contents(self.source.contents)


def css_string(text: str) -> str:
    """Return the text as a CSS string that can stand in any style element, whatever it holds."""
    plain = "".join(c if c.isascii() and c.isalnum() else f"\\{ord(c):x} " for c in text)
    return f'"{plain}"'


def table_of_contents(headings: Iterable[Heading]) -> TableOfContents:
    """Nest the headings by level, as the theme expects them."""
    top: list[_TocToken] = []
    above: list[_TocToken] = []
    for heading in headings:
        token: _TocToken = {
            "level": heading.level,
            "id": escape(heading.anchor),
            "name": escape(heading.text),
            "children": [],
        }
        while above and above[-1]["level"] >= heading.level:
            above.pop()
        (above[-1]["children"] if above else top).append(token)
        above.append(token)
    return get_toc(top)


def checked_paths(pages: Sequence[Page]) -> Sequence[Page]:
    """Return the pages if each, and each file of theirs, can have a place of its own.

    Raises
    ------
    BuildError
        If one would overwrite another, on any file system, or land outside the site. Case does not
        tell two paths apart on a USB stick: one of two lockout sheets would be lost without a word.
    """
    taken: dict[str, str] = {}
    for page in pages:
        files = ((file.path, "data", DATA_SUFFIXES) for file in page.files)
        for path, what, suffixes in ((page.path, "page", (".html",)), *files):
            place = PurePosixPath(path)
            if place.is_absolute() or ".." in place.parts or place.suffix not in suffixes:
                raise BuildError(
                    f"{what} path {path!r}: expected a relative path to an "
                    f"{' or '.join(suffixes)} file"
                )
            other = taken.setdefault(path.casefold(), path)
            if other is not path:
                raise BuildError(f"pages {other!r} and {path!r} would be the same file")
    return pages


def add_pages(
    pages: Iterable[Page], as_of: date, files: Files, config: MkDocsConfig
) -> list[GeneratedPage]:
    """Put the pages and their data among MkDocs' files; return the pages in the same order.

    Raises
    ------
    BuildError
        If a hand-written file already has the place of a page.
    """
    written = {file.dest_uri.casefold(): file.src_uri for file in files}
    added = []
    for page in pages:
        file = _add(page.path, "", written, files, config)
        added.append(GeneratedPage(page, as_of, file, config))
        for data in page.files:
            _add(data.path, data.text, written, files, config)
    return added


def _add(
    path: str, text: str, written: Mapping[str, str], files: Files, config: MkDocsConfig
) -> File:
    if path.casefold() in written:
        raise BuildError(
            f"{written[path.casefold()]}: the page {path} is made from the records; "
            f"give the hand-written one another name"
        )
    source = PurePosixPath(path)
    # A page is one for MkDocs because it was Markdown.
    source = source.with_suffix(".md") if source.suffix == ".html" else source
    hidden = InclusionLevel.NOT_IN_NAV
    # As bytes: a system that ends lines its own way would change them in text.
    file = File.generated(config, str(source), content=text.encode(), inclusion=hidden)
    # Else MkDocs would make an index.html of a panel named README.
    file.dest_uri = path
    files.append(file)
    return file
