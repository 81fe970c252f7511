"""What a page may run and fetch: its own site, and nothing that got into it from elsewhere."""

import base64
import hashlib
import re
import threading
from collections.abc import Iterator
from html import unescape
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

import pytest
from playwright.sync_api import Browser
from playwright.sync_api import Page as Shown

from recordgen.pages import paths
from recordgen.pages.table import PAGE_KINDS
from recordgen.pages.view import View
from recordgen.portfolio import load_portfolio
from recordgen.site.policy import Policies
from tests.site.offline_site import AS_OF, Place, two_buildings

SHEET = paths.lockout("home:LP-1/1")
HEAD = '<html><head><meta charset="utf-8">'
WAYS = pytest.mark.parametrize("way", ["file", "http"])


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Place]:
    with two_buildings(tmp_path_factory.mktemp("policy")) as made:
        yield made


@pytest.fixture(scope="module")
def kinds(place: Place) -> dict[str, str]:
    """Return page kind → path of a page of it; there is one of every kind."""
    view = View(load_portfolio(place.folder / "buildings", AS_OF, shown_as="buildings"))
    return {kind: next(make(view)).path for kind, make in PAGE_KINDS.items()}


@pytest.fixture
def foreign() -> Iterator[tuple[str, list[str]]]:
    """Yield the address of another host, and what has been asked of it."""
    asked: list[str] = []

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            asked.append(self.path)
            self.send_response(200)
            self.end_headers()

        def log_message(self, format: str, *args: object) -> None:  # noqa: A002
            pass

    with ThreadingHTTPServer(("127.0.0.1", 0), Handler) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}", asked
        server.shutdown()


def base_of(place: Place, way: str) -> str:
    return place.url if way == "http" else f"{place.site.as_uri()}/"


def policy(text: str) -> dict[str, list[str]]:
    """Return directive → what it allows, from the text of a page."""
    found = re.search(r'<meta http-equiv="Content-Security-Policy" content="([^"]*)">', text)
    assert found
    rules = (rule.split() for rule in unescape(found[1]).split(";"))
    return {name: allowed for name, *allowed in rules}


@WAYS
def test_no_kind_of_page_asks_another_host_or_complains(
    browser: Browser, place: Place, kinds: dict[str, str], way: str
) -> None:
    base = base_of(place, way)
    # The worker of the site would answer for the server, and its requests are not the page's.
    context = browser.new_context(service_workers="block")
    said: list[str] = []
    asked: list[str] = []
    page = context.new_page()
    page.on(
        "console",
        lambda m: (
            said.append(m.text) if m.type in ("error", "warning") and not blocked(m.text) else 0
        ),
    )
    page.on("pageerror", lambda error: said.append(str(error)))
    page.on("request", lambda request: asked.append(request.url))
    guide = [path.relative_to(place.site).as_posix() for path in place.site.glob("*.html")]
    for path in (*kinds.values(), *guide):
        if path == "404.html":
            continue
        page.goto(base + path)
        page.wait_for_timeout(60)  # for what the scripts ask for by themselves
        assert said == [], path
    assert [url for url in asked if not url.startswith((base, "data:", "blob:"))] == []
    assert len(asked) > len(kinds)
    context.close()


def blocked(text: str) -> bool:
    return "Service Worker registration blocked by Playwright" in text


def test_every_page_has_a_policy_before_all_that_it_governs(place: Place) -> None:
    pages = list(place.site.rglob("*.html"))
    assert len(pages) > 50
    for path in pages:
        text = path.read_text(encoding="utf-8")
        rules = policy(text)
        at = text.index("Content-Security-Policy")
        assert at < min(text.find(mark) % len(text) for mark in ("<script", "<style", "<link"))
        assert rules["default-src"] == ["'self'", "file:"]
        for name in ("script-src", "style-src"):
            allowed = set(rules[name]) - {"'self'", "file:"}
            assert all(one.startswith("'sha256-") for one in allowed), path
        for name in ("frame-src", "object-src", "base-uri", "form-action"):
            assert rules[name] == ["'none'"]


@WAYS
def test_what_got_into_a_page_from_elsewhere_is_not_fetched(
    browser: Browser, place: Place, foreign: tuple[str, list[str]], way: str
) -> None:
    host, asked = foreign
    page = sheet_with(
        browser,
        place,
        way,
        f'<script src="{host}/script.js"></script><img src="{host}/image.png" alt="">'
        f'<link rel="stylesheet" href="{host}/style.css"><iframe src="{host}/frame"></iframe>'
        f'<script>document.title = "taken over"</script>'
        f"<style>h1{{background:url({host}/b)}}</style>"
        f'<img src="none.png" onerror="document.title = \'taken over\'">'
        f'<p style="background:url({host}/p)">x</p>',
    )
    outcome = page.evaluate(
        "host => fetch(`${host}/data`).then(() => 'fetched', () => 'refused')", host
    )
    assert outcome == "refused"
    page.wait_for_timeout(300)
    assert asked == []
    assert "taken over" not in page.title()
    page.context.close()


@WAYS
def test_without_the_policy_all_of_it_would_be_fetched(
    browser: Browser, place: Place, foreign: tuple[str, list[str]], way: str
) -> None:
    """The test above could not fail if the browser refused by itself."""
    host, asked = foreign
    page = sheet_with(
        browser,
        place,
        way,
        f'<script src="{host}/script.js"></script><img src="{host}/image.png" alt="">'
        f'<script>document.title = "taken over"</script>',
        governed=False,
    )
    page.wait_for_load_state("networkidle")
    assert sorted(asked) == ["/image.png", "/script.js"]
    assert page.title() == "taken over"
    page.context.close()


def sheet_with(
    browser: Browser, place: Place, way: str, put_in: str, *, governed: bool = True
) -> Shown:
    """Show the lockout sheet with something put into it after the build."""
    text = (place.site / SHEET).read_text(encoding="utf-8").replace("</article>", put_in)
    if not governed:
        text = re.sub(r'<meta http-equiv="Content-Security-Policy"[^>]*>', "", text)
    changed = (place.site / SHEET).with_name("changed.html")
    changed.write_text(text, encoding="utf-8")
    page = browser.new_context(service_workers="block").new_page()
    page.goto(base_of(place, way) + SHEET.replace("1.html", "changed.html"))
    return page


def test_a_script_of_the_frame_is_named_and_one_of_the_records_is_not() -> None:
    made = "<h1>T</h1><script>from_a_record()</script><style>h1{}</style>"
    frame = "<script>theme()</script><script src='x.js'></script>"
    data = '<script type="application/json">{}</script>'
    rules = policy(Policies().with_policy(f"{HEAD}{frame}{data}<style>p{{}}</style>{made}", made))
    assert rules["script-src"][2:] == [named("theme()")]
    assert rules["style-src"][2:] == [named("p{}")]


def test_a_page_without_a_charset_has_a_policy_and_a_site_map_has_none() -> None:
    assert policy(Policies().with_policy("<html><head><title>T</title>"))
    assert Policies().with_policy("<urlset></urlset>") == "<urlset></urlset>"


def named(text: str) -> str:
    """Return the name of an inline script (Content Security Policy Level 3, 2.3.1)."""
    digest = hashlib.sha256(text.encode()).digest()
    return f"'sha256-{base64.b64encode(digest).decode()}'"


def test_the_live_server_may_put_in_its_script_and_no_other_host_may() -> None:
    rules = policy(Policies(live=True).with_policy(f"{HEAD}<script>theme()</script>"))
    assert rules["script-src"] == ["'self'", "file:", "'unsafe-inline'"]
    assert rules["default-src"] == ["'self'", "file:"]


@pytest.mark.parametrize("address", ["home/nothing.html", "nothing/at/all/x.html", "nothing"])
def test_a_page_not_found_below_a_path_leads_back(
    browser: Browser, place: Place, address: str
) -> None:
    page = browser.new_page()
    failed: list[str] = []
    page.on("response", lambda r: failed.append(r.url) if r.status >= 400 else 0)
    answer = page.goto(place.url + address)
    assert answer
    assert answer.status == 404
    assert "Do not work from it" in page.inner_text("main")
    page.wait_for_load_state("networkidle")
    assert failed == [place.url + address]
    page.click("text='Up to /records/site/'")
    page.wait_for_selector("article h1")
    assert page.url == f"{place.url}index.html"
    page.close()
