"""A `recordgen.pages` page as a MkDocs page that is never Markdown."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date
from html import escape
from pathlib import PurePosixPath

from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import BuildError
from mkdocs.structure.files import File, Files, InclusionLevel
from mkdocs.structure.pages import Page as MkDocsPage
from mkdocs.structure.toc import TableOfContents, _TocToken, get_toc

from recordgen.pages.page import Heading, Page

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
            "print_foot": css_string(
                f"{self.source.title} · revision {self.source.revision} · as of {self.as_of}"
            ),
        }
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
    """Return the pages if each can have a file of its own, on any file system.

    Raises
    ------
    BuildError
        If a page would overwrite another one, or land outside the site. Case does not tell two
        paths apart on a USB stick: one of two lockout sheets would be lost without a word.
    """
    taken: dict[str, str] = {}
    for page in pages:
        path = PurePosixPath(page.path)
        if path.is_absolute() or ".." in path.parts or path.suffix != ".html":
            raise BuildError(f"page path {page.path!r}: expected a relative path to an .html file")
        other = taken.setdefault(page.path.casefold(), page.path)
        if other is not page.path:
            raise BuildError(f"pages {other!r} and {page.path!r} would be the same file")
    return pages


def add_pages(
    pages: Iterable[Page], as_of: date, files: Files, config: MkDocsConfig
) -> list[GeneratedPage]:
    """Put the pages among MkDocs' files and return them in the same order.

    Raises
    ------
    BuildError
        If a hand-written file already has the place of a page.
    """
    written = {file.dest_uri.casefold(): file.src_uri for file in files}
    added = []
    for page in pages:
        if page.path.casefold() in written:
            raise BuildError(
                f"{written[page.path.casefold()]}: the page {page.path} is made from the records; "
                f"give the hand-written one another name"
            )
        file = File.generated(
            config,
            str(PurePosixPath(page.path).with_suffix(".md")),
            content="",
            inclusion=InclusionLevel.NOT_IN_NAV,
        )
        # Else MkDocs would make an index.html of a panel named README.
        file.dest_uri = page.path
        files.append(file)
        added.append(GeneratedPage(page, as_of, file, config))
    return added
