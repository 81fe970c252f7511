"""A finished page: what every page kind makes and what a publisher takes over."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Heading:
    """An entry of a page's table of contents.

    Attributes
    ----------
    level : int
        Level of the heading in the page, 1 for the page's own `<h1>`.
    anchor : str
        The `id` of the heading element.
    text : str
        The heading as plain text, not HTML.
    """

    level: int
    anchor: str
    text: str


@dataclass(frozen=True)
class DataFile:
    """A file beside a page: data that its script answers from (.js), or a list to take (.csv).

    `path` is its path in the site, and `text` all that it holds.
    """

    path: str
    text: str


@dataclass(frozen=True)
class Page:
    """A page that only needs a frame around it: theme, navigation, search.

    Attributes
    ----------
    path : str
        Path in the site, with forward slashes: `clinic/panels/LP-2A.html`, `index.html`.
    title : str
        Plain text, not HTML.
    html : str
        Finished HTML of the body, starting with its own `<h1>`; links in it are relative.
    contents : tuple of Heading
        For the theme's table of contents, in order of appearance.
    building : str or None
        Id of the building that the page belongs to; None for a page about the whole portfolio.
    nav : str or None
        Label in the navigation, plain text; that of a building's `index.html` names the building.
        None for a leaf page: it is reached by links and by search.
    searched : bool
        Whether the theme's search takes in the text of this page.
    revision : str
        Short digest shown on the page, of what it says and of all that could change it.
    scripts : tuple of str
        Paths in the site of the scripts that the page runs, in order. Plain scripts: a page has to
        work from a file, where no module and no data may be asked for.
    files : tuple of DataFile
        What has to be in the site for this page.
    """

    path: str
    title: str
    html: str
    contents: tuple[Heading, ...]
    building: str | None
    nav: str | None
    searched: bool
    revision: str
    scripts: tuple[str, ...] = ()
    files: tuple[DataFile, ...] = ()
