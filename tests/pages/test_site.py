"""The demo's site in a browser, opened from the disk as from a USB stick."""

from collections.abc import Iterator
from pathlib import Path
from urllib.parse import unquote, urlsplit

import pytest
from playwright.sync_api import Browser, Page

from recordgen.pages.table import PAGE_KINDS


@pytest.fixture(scope="module")
def phone(browser: Browser) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    yield page
    page.close()


@pytest.fixture(scope="module")
def desk(browser: Browser, demo_site: Path) -> Iterator[Page]:
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    told: list[str] = []
    page.on("pageerror", lambda error: told.append(str(error)))
    page.on(
        "request",
        lambda request: None if request.url.startswith("file:") else told.append(request.url),
    )
    yield page
    page.close()
    assert told == []


ONE_OF_EACH = {
    "portfolio_page": ["index.html"],
    "overview": ["clinic/index.html", "workshop/index.html"],
    # Two sides with 42 positions, tandem devices, and devices numbered whole.
    "panel": ["clinic/panels/LP-1.html", "workshop/panels/LC-1.html", "clinic/panels/MSB.html"],
    "door_card": ["clinic/door-card/LP-1.html", "clinic/door-card/MSB.html"],
    "equipment": ["clinic/equipment.html"],
    "one_line": ["clinic/one-line.html"],
    "feeders": ["clinic/feeders.html", "workshop/feeders.html"],
    "rooms": ["clinic/rooms/index.html", "clinic/rooms/110.html"],
    "faults": ["clinic/faults.html", "faults.html"],
    "fault": ["clinic/faults/F-01.html", "workshop/faults/WF-06.html"],
    "cables": ["clinic/cables.html"],
    "run": ["clinic/runs/RUN-1.html"],
    "traces": ["clinic/traces.html"],
    "trace": ["clinic/traces/TR-09.html", "clinic/traces/TR-18.html", "clinic/traces/TR-60.html"],
    "instruments": ["clinic/instruments.html"],
    "inspections": ["clinic/inspections.html"],
    "worksheets": ["clinic/worksheets.html", "clinic/worksheets/identify-the-breaker/LP-1.html"],
    "labels": ["clinic/labels/index.html", "clinic/labels/circuits/LP-1.html"],
    "trace_next": ["clinic/trace-next.html"],
    "audit": ["audit.html", "clinic/audit.html"],
    "findings": ["workshop/findings.html"],
    "missing": ["clinic/missing.html", "workshop/missing.html"],
    "downstream": ["clinic/downstream/MSB/main.html"],
    "notice": ["clinic/notice/MSB/main.html", "workshop/notice/LC-1/9-11.html"],
    "planner": ["clinic/planner.html"],
    "lockout": [
        "clinic/lockout/MSB.html",
        "clinic/lockout/G-1.html",
        "workshop/lockout/LC-1/19.html",
    ],
}


def test_one_of_each_kind_is_looked_at() -> None:
    assert set(ONE_OF_EACH) == set(PAGE_KINDS)


@pytest.mark.parametrize("path", [path for paths in ONE_OF_EACH.values() for path in paths])
def test_nothing_scrolls_sideways_on_a_phone(phone: Page, demo_site: Path, path: str) -> None:
    phone.goto((demo_site / path).as_uri())
    assert phone.evaluate("document.documentElement.scrollWidth") == 390
    # Nor is anything cut off at the edge: no text ends beyond it.
    beyond = phone.evaluate(
        """[...document.querySelectorAll('article *')].filter(e => {
             const box = e.getBoundingClientRect();
             return e.children.length === 0 && e.innerText && box.width > 0 && box.right > 391
           }).map(e => e.innerText.slice(0, 60))"""
    )
    assert beyond == []


def results(page: Page, site: Path, words: str) -> list[str]:
    """Type some words into the search of the first page; return where its results lead."""
    page.goto((site / "index.html").as_uri())
    page.locator("input[data-md-component=search-query]").click()
    page.keyboard.type(words)
    links = page.locator(".md-search-result__link")
    links.first.wait_for(timeout=30_000)
    # The list is renewed with every letter; what stands still is the answer.
    before: list[str] = []
    for _ in range(40):
        now: list[str] = links.evaluate_all("all => all.map(link => link.href)")
        if now == before:
            break
        before = now
        page.wait_for_timeout(250)
    root = f"{site.as_uri()}/"
    return [unquote(urlsplit(url)._replace(query="").geturl()).removeprefix(root) for url in before]


@pytest.mark.parametrize(
    ("words", "path", "shown"),
    [
        # A circuit by its description: LP-1/24.
        ("blanket warmer recovery", "clinic/panels/LP-1.html", "Blanket warmer in recovery"),
        # By a load's words: LP-1/26.
        ("nugget ice machine", "clinic/panels/LP-1.html", "nugget ice machine"),
        ("kiln", "workshop/panels/SP-1.html", "ceramics kiln"),
        # By its room, by name and by number.
        ("sterile processing", "clinic/rooms/110.html", "LP-1/18"),
        ("room 110", "clinic/rooms/110.html", "LP-1/18"),
        ("anaesthesia workroom", "clinic/rooms/115.html", "LP-1/21"),
        # By what is painted on it still.
        ("the slate", "workshop/panels/FB-1.html", "Old fuse panel"),
    ],
)
def test_the_search_finds(desk: Page, demo_site: Path, words: str, path: str, shown: str) -> None:
    found = results(desk, demo_site, words)
    places = [url.partition("#")[0] for url in found]
    assert path in places[:10], found
    # Go there.
    desk.goto(f"{demo_site.as_uri()}/{found[places.index(path)]}")
    assert shown in desk.locator("article").inner_text()


def test_from_the_first_page_to_the_answer_in_two_taps_and_a_search(
    desk: Page, demo_site: Path
) -> None:
    """LP-1/14 by its description, then its card, then what goes dark and where the locks go."""
    found = results(desk, demo_site, "OR 1 normal receptacles west wall")
    place = next(url for url in found if url.startswith("clinic/panels/LP-1.html"))
    desk.goto(f"{demo_site.as_uri()}/{place}")
    desk.locator('.rg-directory a[href="#position-14"]').click()
    card = desk.locator(".rg-card", has=desk.locator('[id="position-14"]'))
    card.get_by_role("link", name="Lockout sheet").click()
    desk.wait_for_url("**/clinic/lockout/LP-1/14.html")
    answer = desk.locator(".rg-answer").inner_text()
    assert "LP-1/14" in answer
    assert "LP-1/16" in answer
    desk.go_back()
    card.get_by_role("link", name="What goes dark").click()
    desk.wait_for_url("**/clinic/downstream/LP-1/14.html")
    assert "R-107-N" in desk.locator("article").inner_text()
