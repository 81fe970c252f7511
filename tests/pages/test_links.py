"""Links, anchors and ids of every page: MkDocs does not check them in finished pages."""

from collections import Counter

from recordgen.pages.page import Page
from recordgen.site.guide import guide_folder
from tests.pages.conftest import Document
from tests.pages.reading import is_outside, landing


def test_no_two_pages_share_a_path(page_list: list[Page]) -> None:
    count = Counter(page.path.lower() for page in page_list)
    assert [path for path, n in count.items() if n > 1] == []


def test_every_page_is_whole(page_list: list[Page], document: Document) -> None:
    for page in page_list:
        found = document(page.path)
        (heading,) = found.all("h1")
        assert heading.text == page.title
        assert page.title.strip()
        assert f"Revision {page.revision}" in found.text
        assert len(page.revision) >= 8
        assert "As of 2026-11-25" in found.text


def test_ids_occur_once_on_a_page(page_list: list[Page], document: Document) -> None:
    for page in page_list:
        ids = [e.attributes["id"] for e in document(page.path).all() if "id" in e.attributes]
        assert [name for name, n in Counter(ids).items() if n > 1 or not name] == [], page.path


def test_the_table_of_contents_leads_to_headings(page_list: list[Page], document: Document) -> None:
    for page in page_list:
        headings = {
            e.attributes["id"]: int(e.name[1])
            for e in document(page.path).all("h1", "h2", "h3", "h4")
            if "id" in e.attributes
        }
        assert page.contents, page.path
        for entry in page.contents:
            assert headings.get(entry.anchor) == entry.level, (page.path, entry)


# Written by hand, and put beside the pages by the site; tests/site looks at what leads there.
GUIDE = {path.with_suffix(".html").name for path in guide_folder().glob("*.md")}


def test_every_link_leads_to_a_page_and_an_anchor(
    pages: dict[str, Page], document: Document
) -> None:
    ids: dict[str, set[str]] = {}
    files = {file.path for page in pages.values() for file in page.files}
    seen = 0
    dangling = []
    for path in pages:
        for link in document(path).all("a"):
            href = link.attributes.get("href", "")
            target, anchor = landing(href, path)
            if (target in GUIDE or target in files) and link.text:
                continue
            if not href or is_outside(href) or target not in pages or not link.text:
                dangling.append((path, href, link.text))
                continue
            seen += 1
            if target not in ids:
                elements = document(target).all()
                ids[target] = {e.attributes["id"] for e in elements if "id" in e.attributes}
            # What is chosen in an outage planner or a fault history is no anchor; tests/planner
            # and test_fault_filter look at it.
            chosen = anchor.startswith(("open=", "at="))
            if anchor and anchor not in ids[target] and not chosen:
                dangling.append((path, href, link.text))
    assert dangling == []
    assert seen > 10_000


def test_links_within_the_shown_text_say_where_they_go(
    pages: dict[str, Page], document: Document
) -> None:
    """A link whose text is a tag leads to a page about that tag, not to another one's."""
    wrong = []
    for path in pages:
        for link in document(path).of_class("rg-tag"):
            if link.name != "a":
                continue
            target, anchor = landing(link.attributes["href"], path)
            name = link.text.partition(":")[2] or link.text
            if name.split("/")[0] not in f"{target} {document(target).text}":
                wrong.append((path, link.text, target, anchor))
    assert wrong == []


def test_every_page_can_be_reached(pages: dict[str, Page], document: Document) -> None:
    """From the portfolio's page, by links alone."""
    reached = {"index.html"}
    queue = ["index.html"]
    while queue:
        path = queue.pop()
        for link in document(path).all("a"):
            target, _ = landing(link.attributes["href"], path)
            if target not in reached and target not in GUIDE:
                reached.add(target)
                if target in pages:
                    queue.append(target)
    assert set(pages) - reached == set()
