"""A visited building can be read without signal, says how old it is, and gives way to a new one.

The browser is a real one with its service worker, the server a real one below a path.
"""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, BrowserContext, Page

from recordgen.pages import paths
from recordgen.site.kept import LIST, WORKER
from tests.pages.fault_house import HOUSE
from tests.site.offline_site import Place, two_buildings

OVERVIEW = paths.building("home")
SHEETS = (
    OVERVIEW,
    paths.panel("home:LP-1"),
    paths.lockout("home:LP-1/1"),
    paths.downstream("home:LP-1/1"),
    paths.planner("home"),
    paths.fault("home:F-1"),
    paths.run("home:RUN"),
)
NOTICE = r"Without connection: this is revision ([0-9a-f]+), fetched \d{4}-\d\d-\d\d \d\d:\d\d\."
KEYS = "caches.keys()"


@pytest.fixture(scope="module")
def built(tmp_path_factory: pytest.TempPathFactory) -> Place:
    return Place(tmp_path_factory.mktemp("built"))


@pytest.fixture
def place(built: Place, tmp_path: Path) -> Iterator[Place]:
    with two_buildings(tmp_path, built) as made:
        yield made


@pytest.fixture
def context(browser: Browser) -> Iterator[BrowserContext]:
    context = browser.new_context(viewport={"width": 390, "height": 844})
    yield context
    context.close()


def line(page: Page, state: str) -> str:
    """Wait until the overview says that a building is in a state, and return what it says."""
    page.wait_for_selector(f".rg-keep[data-state='{state}']", timeout=60_000)
    return page.inner_text(".rg-keep p")


def revision(page: Page) -> str:
    found = re.search(r"Revision\s+([0-9a-f]+)", page.inner_text("article"))
    assert found
    return found[1]


def caches_of(page: Page, what: str) -> list[str]:
    return [name for name in page.evaluate(KEYS) if f" {what} " in name]


def test_a_visited_building_without_signal_and_its_next_build(
    context: BrowserContext, place: Place
) -> None:
    page = context.new_page()
    page.goto(place.url + OVERVIEW)
    kept = line(page, "kept")
    assert re.search(r"Kept on this device: \d+ pages, .* MB", kept)
    (first,) = caches_of(page, "building home")
    assert page.locator(".rg-kept").count() == 0
    place.stop()
    context.set_offline(True)

    revisions = {}
    for path in SHEETS:
        page.goto(place.url + path)
        notice = page.inner_text(".rg-kept")
        said = re.match(NOTICE, notice)
        assert said, (path, notice)
        assert said[1] == revision(page)
        assert "has another one" not in notice
        revisions[path] = said[1]
    the_planner_and_the_finder_answer(page, place)
    no_print_is_called_current(page, f"{place.url}{SHEETS[2]}#print={revisions[SHEETS[2]]}")
    what_is_not_kept_says_so(page, place)

    place.write("home", f"building: {{name: House}}\n{HOUSE}".replace("SAW", "PLANER"))
    place.build()
    place.start()
    context.set_offline(False)
    page.goto(place.url + SHEETS[1])
    assert page.locator(".rg-kept").count() == 0
    assert "PLANER" in page.inner_text("article")
    assert revision(page) != revisions[SHEETS[1]]
    page.goto(place.url + OVERVIEW)
    page.wait_for_function(
        "first => caches.keys().then(names => !names.includes(first)"
        " && document.querySelector('.rg-keep').dataset.state === 'kept')",
        arg=first,
        timeout=60_000,
    )
    assert len(caches_of(page, "building home")) == 1
    assert len(caches_of(page, "shared")) == 1
    place.stop()
    page.goto(place.url + SHEETS[1])
    assert "PLANER" in page.inner_text("article")
    assert re.match(NOTICE, page.inner_text(".rg-kept"))


def the_planner_and_the_finder_answer(page: Page, place: Place) -> None:
    page.goto(f"{place.url}{paths.planner('home')}#{paths.planner_choice('home:LP-1/1')}")
    page.wait_for_selector("#planner-answer >> text=FAN")
    page.goto(place.url + OVERVIEW)
    page.fill("#find-box", "saw")
    page.wait_for_selector("#find-list li")
    assert "SAW" in page.locator("#find-list li").first.inner_text()
    page.set_viewport_size({"width": 1280, "height": 800})
    page.click("[data-md-component=search-query]")
    page.keyboard.type("workshop")
    page.wait_for_selector(".md-search-result__link", state="attached")


def no_print_is_called_current(page: Page, held: str) -> None:
    page.goto("about:blank")
    page.goto(f"{held},2026-11-25")
    said = page.inner_text(".rg-print-check h2")
    assert said.startswith("This print says what the kept page says")


def what_is_not_kept_says_so(page: Page, place: Place) -> None:
    page.goto(place.url + paths.building("annex"))
    said = page.inner_text("main")
    assert "not kept on this device" in said
    assert "Asked for: annex/index.html" in said
    (link,) = page.locator("li a").all()
    assert link.inner_text() == "House"
    link.click()
    assert page.url == place.url + OVERVIEW


def test_the_earlier_building_stays_until_the_new_one_is_complete(
    context: BrowserContext, place: Place
) -> None:
    page = context.new_page()
    page.goto(place.url + OVERVIEW)
    line(page, "kept")
    # The new site lacks a page of its list, as if the connection broke on the way.
    place.write("home", f"building: {{name: House}}\n{HOUSE}".replace("SAW", "PLANER"))
    place.build()
    sheet = place.site / SHEETS[2]
    away = sheet.rename(sheet.with_suffix(".away"))
    page.goto(place.url + OVERVIEW)
    said = line(page, "interrupted")
    assert said.startswith("NOT KEPT COMPLETELY: the server answered 404")
    assert "is still here, except for pages that have changed since" in said
    place.stop()
    page.goto(place.url + SHEETS[2])
    notice = page.inner_text(".rg-kept")
    assert re.match(NOTICE, notice)
    assert "The server has another one, which could not be fetched." in notice
    place.start()
    away.rename(sheet)
    page.goto(place.url + OVERVIEW)
    line(page, "kept")
    assert len(caches_of(page, "building home")) == 1


def test_a_file_that_is_not_what_was_built_is_not_kept(
    context: BrowserContext, place: Place
) -> None:
    sheet = place.site / SHEETS[2]
    sheet.write_text(sheet.read_text().replace("</body>", "<p>put in on the way</p></body>"))
    page = context.new_page()
    page.goto(place.url + OVERVIEW)
    said = line(page, "interrupted")
    assert "is not what the site was built with" in said
    assert re.search(r"\d+ of \d+ files are here", said)
    place.stop()
    page.goto(place.url + SHEETS[2])
    assert "not kept on this device" in page.inner_text("main")
    # What is whole may be read, and the list says that it is not all.
    assert "only" in page.inner_text("li")


def test_a_device_without_room_says_so(context: BrowserContext, place: Place) -> None:
    page = context.new_page()
    page.goto(place.url + paths.building("annex"))
    line(page, "kept")
    session = context.new_cdp_session(page)
    origin = place.url.split("/records")[0]
    session.send("Storage.overrideQuotaForOrigin", {"origin": origin, "quotaSize": 1000})
    page.goto(place.url + OVERVIEW)
    assert "this device has no room left" in line(page, "full")


def test_a_person_can_remove_a_building_and_keep_it_again(
    context: BrowserContext, place: Place
) -> None:
    page = context.new_page()
    page.goto(place.url + paths.building("annex"))
    line(page, "kept")
    button = page.locator("article > .rg-keep button")
    box = button.bounding_box()
    assert box
    assert box["height"] >= 44
    button.click()
    assert "it was removed" in line(page, "not wanted")
    page.reload()
    assert "it was removed" in line(page, "not wanted")
    assert caches_of(page, "building annex") == []
    page.click(".rg-keep button")
    line(page, "kept")


def test_a_server_that_fails_or_is_slow_is_named(context: BrowserContext, place: Place) -> None:
    page = context.new_page()
    page.goto(place.url + OVERVIEW)
    line(page, "kept")
    place.answer_with(503)
    page.goto(place.url + SHEETS[2])
    assert page.inner_text(".rg-kept").startswith("The server answered 503: this is revision")
    place.answer_after(30)
    page.goto(place.url + SHEETS[2])
    assert page.inner_text(".rg-kept").startswith("The server did not answer in time: this is")
    place.answer_after(0)
    # A sheet that the server says is gone is not shown as if it held.
    (place.site / SHEETS[2]).unlink()
    page.goto(place.url + SHEETS[2])
    assert page.locator(".rg-kept").count() == 0
    assert "There is no such page" in page.inner_text("h1")


def kept_files(text: bytes) -> set[tuple[str, int, str]]:
    """Return the files that a worker or a list names, with length and digest."""
    found = re.findall(r'\["([^"]+)",(\d+),"([0-9a-f]{16})"\]', text.decode())
    assert found
    return {(path, int(size), digest) for path, size, digest in found}


def test_same_records_same_worker_and_lists(place: Place) -> None:
    names = (WORKER, f"home/{LIST}", f"annex/{LIST}")
    place.build()
    before = [(place.site / name).read_bytes() for name in names]
    place.build()
    again = [(place.site / name).read_bytes() for name in names]
    changed = [kept_files(one) ^ kept_files(two) for one, two in zip(again, before, strict=True)]
    assert changed == [set(), set(), set()]
    assert again == before
    place.write("home", f"building: {{name: House}}\n{HOUSE}".replace("SAW", "PLANER"))
    place.build()
    worker, home, annex = ((place.site / name).read_bytes() for name in names)
    assert worker != before[0]
    assert home != before[1]
    assert annex == before[2]


def test_a_page_from_a_file_keeps_nothing_and_says_nothing(
    context: BrowserContext, place: Place
) -> None:
    page = context.new_page()
    page.goto((place.site / OVERVIEW).as_uri())
    assert page.locator(".rg-keep").count() == 0


def test_who_saves_data_is_asked_and_told_the_size(context: BrowserContext, place: Place) -> None:
    context.add_init_script(
        "Object.defineProperty(navigator, 'connection', {value: {saveData: true}})"
    )
    page = context.new_page()
    page.goto(place.url + OVERVIEW)
    assert re.search(r"Not kept on this device: \d+ pages, .* MB", line(page, "asks"))
    assert caches_of(page, "building home") == []
    page.click("text='Keep this building for offline use'")
    line(page, "kept")


def test_without_https_it_is_said_that_nothing_is_kept(
    context: BrowserContext, place: Place
) -> None:
    # As browsers do it (Service Workers, W3C: exposed in a secure context only).
    context.add_init_script("delete Navigator.prototype.serviceWorker")
    page = context.new_page()
    page.goto(place.url + OVERVIEW)
    page.wait_for_selector("text=a browser keeps only what comes over https")


def test_without_javascript_the_page_says_nothing_of_it(browser: Browser, place: Place) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(place.url + OVERVIEW)
    assert page.locator("article h1").is_visible()
    assert page.locator(".rg-keep").count() == 0
    context.close()
