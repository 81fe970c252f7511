"""Pages as a reader's program takes them in: elements, text, links. Standard library only."""

from __future__ import annotations

import posixpath
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property
from html.parser import HTMLParser
from urllib.parse import unquote, urlsplit

VOID = frozenset({"br", "col", "hr", "img", "input", "link", "meta", "wbr"})


@dataclass
class Element:
    """An element, or the document itself (name empty)."""

    name: str
    attributes: dict[str, str] = field(default_factory=dict)
    children: list[Element | str] = field(default_factory=list)

    def all(self, *names: str) -> Iterator[Element]:
        """Yield the elements below, in order; only those of some names if any are given."""
        for child in self.children:
            if isinstance(child, Element):
                if not names or child.name in names:
                    yield child
                yield from child.all(*names)

    def of_class(self, name: str) -> Iterator[Element]:
        return (e for e in self.all() if name in e.attributes.get("class", "").split())

    def one(self, class_name: str) -> Element:
        (found,) = self.of_class(class_name)
        return found

    def has_class(self, name: str) -> bool:
        return name in self.attributes.get("class", "").split()

    @cached_property
    def text(self) -> str:
        """The text below, white space as a browser folds it."""
        return " ".join("".join(self._texts()).split())

    def _texts(self) -> Iterator[str]:
        for child in self.children:
            if isinstance(child, str):
                yield child
            else:
                block = child.name in BLOCKS
                yield " " if block else ""
                yield from child._texts()
                yield " " if block else ""


BLOCKS = frozenset(
    {
        "p",
        "div",
        "li",
        "td",
        "th",
        "tr",
        "h1",
        "h2",
        "h3",
        "h4",
        "section",
        "dt",
        "dd",
        "br",
        "caption",
        "nav",
        "footer",
    }
)


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.document = Element("")
        self.open = [self.document]

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        names = [name for name, _ in attrs]
        assert len(names) == len(set(names)), f"<{tag}> has an attribute twice: {names}"
        element = Element(tag, {name: value or "" for name, value in attrs})
        self.open[-1].children.append(element)
        if tag not in VOID:
            self.open.append(element)

    def handle_endtag(self, tag: str) -> None:
        assert self.open[-1].name == tag, f"</{tag}> ends <{self.open[-1].name}>"
        self.open.pop()

    def handle_data(self, data: str) -> None:
        self.open[-1].children.append(data)


def read(html: str) -> Element:
    """Parse HTML; elements that are not closed in order, or not at all, fail the test."""
    reader = _Reader()
    reader.feed(html)
    reader.close()
    assert [e.name for e in reader.open] == [""], "an element is not closed"
    return reader.document


def is_outside(href: str) -> bool:
    parts = urlsplit(href)
    return bool(parts.scheme or parts.netloc)


def landing(href: str, page: str) -> tuple[str, str]:
    """Return the path and the anchor that a relative link on a page leads to."""
    parts = urlsplit(href)
    path = posixpath.normpath(posixpath.join(posixpath.dirname(page), unquote(parts.path)))
    return path if parts.path else page, unquote(parts.fragment)
