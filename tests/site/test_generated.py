import re
from dataclasses import replace
from pathlib import Path

import pytest
from mkdocs.exceptions import BuildError

from recordgen.pages.page import DataFile, Heading
from recordgen.site.build import SiteNotBuilt, build_site
from recordgen.site.generated import checked_paths, css_string, table_of_contents
from tests.site.conftest import Publish
from tests.site.sample import HOSTILE, page


def test_headings_are_nested_by_level() -> None:
    levels = [(1, "a"), (2, "b"), (3, "c"), (2, "d"), (1, "e"), (3, "f")]
    contents = table_of_contents(Heading(level, name, name) for level, name in levels)
    tree = [
        (top.id, [(child.id, [leaf.id for leaf in child.children]) for child in top.children])
        for top in contents
    ]
    assert tree == [("a", [("b", ["c"]), ("d", [])]), ("e", [("f", [])])]


def test_headings_are_text_and_the_theme_takes_html() -> None:
    (entry,) = table_of_contents([Heading(2, "a", "R&D <lab>")])
    assert entry.title == "R&amp;D &lt;lab&gt;"


def test_a_css_string_holds_nothing_that_could_end_it() -> None:
    escaped = css_string('a"b</style>\n\\')
    assert re.fullmatch(r'"(?:[A-Za-z0-9]|\\[0-9a-f]+ )*"', escaped)


@pytest.mark.parametrize("path", ["/etc/x.html", "../x.html", "a/../../x.html", "x.htm", "x"])
def test_a_page_stays_inside_the_site(path: str) -> None:
    with pytest.raises(BuildError, match="expected a relative path"):
        checked_paths([page(path)])


@pytest.mark.parametrize("path", ["../x.csv", "/x.js", "x.html", "x.txt", "x"])
def test_what_stands_beside_a_page_is_data_inside_the_site(path: str) -> None:
    with pytest.raises(BuildError, match=re.escape("to an .js or .csv file")):
        checked_paths([replace(page("b/x.html"), files=(DataFile(path, ""),))])


def test_a_list_is_published_byte_for_byte(owner: Path, publish: Publish) -> None:
    text = '\ufeffa,b\r\nΩ,"x\ny"\r\n'
    publish((replace(page("index.html"), files=(DataFile("b/list.csv", text),)),))
    site = build_site(folder=owner)
    assert (site / "b/list.csv").read_bytes() == text.encode()


def test_no_page_overwrites_another_on_any_file_system() -> None:
    with pytest.raises(BuildError, match=re.escape("'b/LP-2A.html' and 'b/lp-2a.html'")):
        checked_paths([page("b/LP-2A.html"), page("b/lp-2a.html")])


def test_no_page_overwrites_its_own_twin() -> None:
    with pytest.raises(BuildError, match="would be the same file"):
        checked_paths([page("b/LP.html"), page("".join(["b/", "LP.html"]))])


def test_a_hand_written_page_is_not_overwritten(owner: Path, publish: Publish) -> None:
    (owner / "docs").mkdir()
    (owner / "docs" / "index.md").write_text("# My own start page")
    (owner / "mkdocs.yml").write_text(
        "site_name: S\ntheme: material\nplugins: [search, offline, recordgen]\n"
    )
    with pytest.raises(SiteNotBuilt, match=re.escape("index.md: the page index.html is made")):
        build_site(folder=owner)


def test_every_page_is_where_it_says_whatever_its_name(sample_site: Path) -> None:
    assert "Panel README" in (sample_site / "annex/panels/README.html").read_text()
    assert not (sample_site / "annex/panels/index.html").exists()


def test_the_html_of_a_page_is_taken_over_as_it_is(owner: Path, publish: Publish) -> None:
    body = "<p>*no* _Markdown_ [here](x.md) &amp; {{ no }} {% template %}</p>"
    publish((page("index.html", "T", body),))
    assert body in (build_site(folder=owner) / "index.html").read_text()


def test_text_of_the_records_stays_text_in_what_the_theme_adds(sample_site: Path) -> None:
    for path in ("index.html", "annex/index.html", "annex/rooms/index.html"):
        html = (sample_site / path).read_text()
        assert "alert(1)" in html
        assert "<script>alert(1)" not in html
        assert "<img src=x" not in html
    html = (sample_site / "depot/lockout/P2.html").read_text()
    assert html.count("</title>") == 1 + html.count("<svg><title>")
    assert "&lt;script&gt;alert(1)" in html
    assert HOSTILE not in html


def test_each_printed_page_names_sheet_revision_and_date(sample_site: Path) -> None:
    html = (sample_site / "depot/panels/P1.html").read_text()
    expected = css_string("Panel P1 · revision 1a2b3c4d · as of 2026-03-01")
    assert f"content:{expected}" in html
