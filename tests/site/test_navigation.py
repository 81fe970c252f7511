"""What the navigation lists, read from the built pages."""

import json
import re
from html.parser import HTMLParser
from pathlib import Path

import jinja2
import pytest

from recordgen.site.build import build_site
from tests.site.conftest import Publish
from tests.site.sample import page, sample_pages


class NavigationLinks(HTMLParser):
    """Collects the links of the theme's first navigation, and the labels it opens."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.links: list[str] = []
        self._depth = 0
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = dict(attrs)
        if tag == "nav" and (self._depth or "md-nav--primary" in (values.get("class") or "")):
            self._depth += 1
        if tag == "a" and self._depth and "md-nav__link" in (values.get("class") or ""):
            self.links.append(values["href"] or "")

    def handle_endtag(self, tag: str) -> None:
        if tag == "nav" and self._depth:
            self._depth -= 1


def links(page_file: Path) -> list[str]:
    """Return the links of the navigation as paths in the site, without those to headings."""
    site = next(p for p in page_file.parents if (p / "404.html").exists())
    found = [link for link in NavigationLinks(page_file.read_text()).links if "#" not in link]
    return [
        (page_file.parent / link).resolve().relative_to(site.resolve()).as_posix() for link in found
    ]


WRITTEN = [
    "evidence.html",
    "glossary.html",
    "hosting.html",
    "how-to-read-a-sheet.html",
    "outcomes.html",
    "records.html",
    "safety.html",
]


def test_it_lists_buildings_and_indexes_of_the_open_one_then_hand_written_pages(
    sample_site: Path,
) -> None:
    expected = ["index.html", "depot/index.html", "depot/panels/index.html", "annex/index.html"]
    assert links(sample_site / "depot/index.html") == expected + WRITTEN


@pytest.mark.parametrize("leaf", ["depot/panels/P1.html", "depot/lockout/P1.html"])
def test_a_leaf_page_shows_its_building_and_is_not_listed(sample_site: Path, leaf: str) -> None:
    assert links(sample_site / leaf) == links(sample_site / "depot/index.html")


def test_the_index_of_a_building_comes_first_in_whatever_order_pages_come(
    sample_site: Path,
) -> None:
    listed = links(sample_site / "annex/panels/README.html")
    assert listed[2:4] == ["annex/index.html", "annex/rooms/index.html"]


def test_leaf_pages_have_no_neighbours(sample_site: Path) -> None:
    assert 'rel="next"' not in (sample_site / "depot/panels/P1.html").read_text()


def test_it_is_rendered_once_per_section_and_folder(
    owner: Path, publish: Publish, monkeypatch: pytest.MonkeyPatch
) -> None:
    leaves = [page(f"depot/panels/L{n}.html", building="depot") for n in range(30)]
    publish((*sample_pages(), *leaves))
    rendered: list[str] = []
    really_render = jinja2.Template.render

    def render(self: jinja2.Template, *args: object, **kwargs: object) -> str:
        rendered.append(self.name or "")
        return really_render(self, *args, **kwargs)

    monkeypatch.setattr(jinja2.Template, "render", render)
    build_site(folder=owner)
    pages_in_navigation = 5 + len(WRITTEN)
    folders_of_leaves = len(["depot/panels", "depot/lockout", "annex/panels"])
    times = rendered.count("partials/nav.html")
    assert times == pages_in_navigation + folders_of_leaves


def test_search_takes_in_what_asks_for_it_and_nothing_else(sample_site: Path) -> None:
    index = json.loads((sample_site / "search/search_index.json").read_text())
    found = {entry["location"].split("#")[0] for entry in index["docs"]}
    searched = {each.path for each in sample_pages() if each.searched}
    assert found == searched | set(WRITTEN)


def test_search_keeps_the_words_of_neighbouring_cells_apart(owner: Path, publish: Publish) -> None:
    body = (
        "<table><tr><th>MW-1</th><td>kitchen</td><td>213</td><td>180 VA</td></tr></table>"
        "<dl><div><dt>Bus</dt><dd>100 A</dd></div></dl>"
        '<nav><a href="#a">one</a><a href="#b">two</a></nav>'
    )
    publish((page("index.html", "T", body, searched=True),))
    index = json.loads((build_site(folder=owner) / "search/search_index.json").read_text())
    text = " ".join(entry["text"] for entry in index["docs"] if "index.html" in entry["location"])
    words = re.sub(r"<.*?>", "", text).split()
    assert words == ["MW-1", "kitchen", "213", "180", "VA", "Bus", "100", "A", "one", "two"]


def test_an_owner_may_list_the_hand_written_pages(owner: Path, publish: Publish) -> None:
    (owner / "docs").mkdir()
    (owner / "docs" / "rules.md").write_text("# House rules\n\n[All](index.md)")
    (owner / "mkdocs.yml").write_text(
        "site_name: S\ntheme: material\nplugins: [search, offline, recordgen]\n"
        "nav: [House rules: rules.md]\n"
    )
    site = build_site(folder=owner, strict=True)
    assert links(site / "rules.html")[-1] == "rules.html"
    assert "safety.html" not in links(site / "rules.html")
    assert (site / "safety.html").exists()
    assert re.search(r'<a href="index.html">All</a>', (site / "rules.html").read_text())
