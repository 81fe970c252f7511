"""The site needs nobody else: not over http, not opened from a stick, not with an owner's slip."""

import functools
import threading
from collections.abc import Iterator
from html.parser import HTMLParser
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from recordgen.site.build import build_site
from tests.site.conftest import Publish

# Attributes by which a browser fetches something when it shows a page (HTML Living Standard,
# attributes index); the href of a plain link fetches nothing until it is followed.
FETCHING = {"src", "srcset", "data", "poster", "action", "formaction"}


class Addresses(HTMLParser):
    """Collects what a page fetches and what it links to."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.fetched: list[str] = []
        self.linked: list[str] = []
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        for name, value in attrs:
            if name in FETCHING or (tag == "link" and name == "href"):
                self.fetched.append(value or "")
            elif name == "href":
                self.linked.append(value or "")


def elsewhere(address: str) -> bool:
    return address.startswith(("http:", "https:", "//"))


def test_no_page_fetches_from_or_links_to_another_host(sample_site: Path) -> None:
    pages = list(sample_site.rglob("*.html"))
    assert len(pages) > 10
    for path in pages:
        addresses = Addresses(path.read_text())
        assert addresses.fetched
        assert [a for a in addresses.fetched + addresses.linked if elsewhere(a)] == [], path


def test_no_style_sheet_of_ours_fetches_anything(sample_site: Path) -> None:
    for path in sample_site.glob("assets/recordgen*.css"):
        assert "url(" not in path.read_text()
        assert "@import" not in path.read_text()


@pytest.fixture
def served(sample_site: Path) -> Iterator[str]:
    class Silent(SimpleHTTPRequestHandler):
        def log_message(self, format: str, *args: object) -> None:  # noqa: A002
            pass

    handler = functools.partial(Silent, directory=str(sample_site))
    with ThreadingHTTPServer(("127.0.0.1", 0), handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}"
        server.shutdown()


@pytest.mark.parametrize("way", ["file", "http"])
def test_search_works_and_no_other_host_is_asked(
    browser: Browser, sample_site: Path, served: str, way: str
) -> None:
    base = served if way == "http" else sample_site.as_uri()
    page = browser.new_page()
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(f"{base}/depot/lockout/P1.html")
    # The theme listens for keys, so the word is typed and not filled in.
    page.click("[data-md-component=search-query]")
    page.wait_for_selector("text=Type to start searching")
    page.keyboard.type("compressor")
    page.wait_for_selector(".md-search-result__link", state="attached")
    found = page.locator(".md-search-result__link").first.get_attribute("href") or ""
    assert "/depot/panels/P1.html" in found
    allowed = (f"{base}/", "data:", "blob:")
    assert [url for url in asked if not url.startswith(allowed)] == []
    page.close()


def test_it_works_without_javascript(browser: Browser, sample_site: Path) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto((sample_site / "depot/panels/P1.html").as_uri())
    assert page.locator(".rg-directory").is_visible()
    page.click("article a >> text=Depot")
    assert page.url.endswith("/depot/index.html")
    context.close()


def test_a_configuration_that_would_ask_others_is_mended_and_said(
    owner: Path, publish: Publish, caplog: pytest.LogCaptureFixture
) -> None:
    (owner / "docs").mkdir()
    (owner / "mkdocs.yml").write_text(
        "site_name: S\n"
        "repo_url: https://host.invalid/x\n"
        "use_directory_urls: true\n"
        "theme: {name: material, font: {text: Lato}}\n"
        "extra: {analytics: {provider: google, property: X}}\n"
        "extra_css: ['https://host.invalid/x.css']\n"
        "plugins: [search, recordgen]\n"
    )
    site = build_site(folder=owner)
    page = (site / "depot/panels/P1.html").read_text()
    assert [a for a in Addresses(page).fetched if elsewhere(a)] == ["https://host.invalid/x.css"]
    assert "https://host.invalid/x.css: is loaded from another host" in caplog.text
    assert "repo_url: left out" in caplog.text
    assert "extra.analytics: left out" in caplog.text
    assert "without 'offline'" in caplog.text
