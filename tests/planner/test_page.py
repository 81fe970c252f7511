"""The planner of the demo as somebody uses it: from the disk, without a network, by keyboard."""

import io
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect
from pypdf import PdfReader

from recordgen.network.outcomes import OUTCOMES
from recordgen.pages.filters import code, sentence
from recordgen.pages.wording import CAUTIONS, NEUTRAL_LIVE, OUTCOME_CLASS, outcome_text
from recordgen.portfolio import Portfolio
from tests.planner.running import Asked

PHONE = {"width": 390, "height": 844}


@pytest.fixture
def told() -> list[str]:
    return []


@pytest.fixture
def phone(browser: Browser, told: list[str]) -> Iterator[Page]:
    """Yield a page on a phone without a network, where nothing may go wrong."""
    context = browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True, offline=True)
    page = context.new_page()
    page.on("pageerror", lambda error: told.append(str(error)))
    page.on("console", lambda line: told.append(line.text) if line.type == "error" else None)
    page.on(
        "request",
        lambda request: None if request.url.startswith("file:") else told.append(request.url),
    )
    yield page
    context.close()
    assert told == []


def planner(site: Path, building: str, choice: str = "") -> str:
    return f"{(site / building / 'planner.html').as_uri()}{choice}"


def answer(demo: Portfolio, *tags: str, now: bool = False) -> dict[str, Any]:
    asked = Asked(demo, [([*tags], "present" if now else "normal")])
    found: dict[str, Any] = json.loads(asked.expected[0])
    return found


def chosen(page: Page) -> list[str]:
    return page.locator("#planner-chosen span").all_inner_texts()


def test_a_preset_link_shows_the_answer_on_the_first_screen(
    phone: Page, demo_site: Path, demo: Portfolio
) -> None:
    phone.goto(planner(demo_site, "clinic", "#open=MSB/main;normal"))
    expected = answer(demo, "clinic:MSB/main")
    summary = phone.locator("#planner-summary")
    assert chosen(phone) == ["MSB/main"]
    assert f"{len(expected['loads'])} loads affected" in summary.inner_text()
    counts = {
        outcome: sum(line["outcome"] == outcome for line in expected["loads"])
        for outcome in OUTCOMES
    }
    shown = phone.locator("#planner-summary .rg-counts li").all_inner_texts()
    assert [" ".join(text.split()) for text in shown] == [
        f"{count} {outcome}" for outcome, count in counts.items() if count
    ]
    box = phone.locator("#planner-summary .rg-counts").bounding_box()
    assert box is not None
    assert box["y"] + box["height"] <= PHONE["height"]


def test_every_load_stands_in_the_group_of_its_outcome_gravest_first(
    phone: Page, demo_site: Path, demo: Portfolio
) -> None:
    phone.goto(planner(demo_site, "clinic", "#open=MSB/main,GEN-1/none,LP-1/14;normal"))
    expected = answer(demo, "clinic:MSB/main", "clinic:LP-1/14")
    lines = [
        line for outcome in OUTCOMES for line in expected["loads"] if line["outcome"] == outcome
    ]
    rows = phone.locator("#planner-answer tbody tr")
    heads = rows.locator("th > :first-child").all_inner_texts()
    assert heads == [line["tag"].partition(":")[2] for line in lines]
    cells = rows.locator("td:nth-child(2)").all_inner_texts()
    again = [
        outcome_text(x["outcome"], x["detail"] or "", again=x["may_be_energized_again"])
        for x in lines
    ]
    assert [text.strip() for text in cells] == again
    # What the link names and the records do not is no silent gap.
    assert "STOP The link names what these records do not hold: GEN-1/none" in (
        phone.locator("#planner-summary").inner_text()
    )


def test_devices_are_picked_by_keyboard_and_given_back(
    phone: Page, demo_site: Path, demo: Portfolio
) -> None:
    phone.goto(planner(demo_site, "clinic"))
    box = phone.locator("#planner-search")
    box.focus()
    phone.keyboard.type("lp-1/1")
    options = phone.locator("#planner-matches [role=option]")
    assert options.first.get_attribute("aria-selected") == "true"
    assert box.get_attribute("aria-activedescendant") == options.first.get_attribute("id")
    first, second = options.nth(0).inner_text(), options.nth(1).inner_text()
    phone.keyboard.press("ArrowDown")
    assert options.nth(1).get_attribute("aria-selected") == "true"
    phone.keyboard.press("Enter")
    expect(phone.locator("#planner-chosen li")).to_have_count(1)
    assert second.startswith(chosen(phone)[0])
    assert not first.startswith(f"{chosen(phone)[0]} ")
    one = chosen(phone)[0]
    # A second one, by what it is for; the first stays.
    phone.keyboard.type("blanket warmer recovery")
    phone.keyboard.press("Enter")
    expect(phone.locator("#planner-chosen li")).to_have_count(2)
    assert chosen(phone) == [one, "LP-1/24"]
    assert phone.url.endswith(f"#open={one},LP-1/24;present")
    loads = len(answer(demo, f"clinic:{one}", "clinic:LP-1/24")["loads"])
    assert f"{loads} load" in phone.locator("#planner-summary").inner_text()
    # Back, and forth, as with pages.
    phone.go_back()
    expect(phone.locator("#planner-chosen li")).to_have_count(1)
    phone.go_forward()
    expect(phone.locator("#planner-chosen li")).to_have_count(2)
    phone.reload()
    assert chosen(phone) == [one, "LP-1/24"]
    phone.get_by_role("button", name=f"Remove {one}").press("Enter")
    expect(phone.locator("#planner-chosen li")).to_have_count(1)
    assert chosen(phone) == ["LP-1/24"]
    phone.get_by_role("button", name="Start over").click()
    expect(phone.locator("#planner-chosen li")).to_have_count(0)
    assert phone.locator("#planner-answer").inner_text() == ""


def test_what_matches_nothing_says_so_and_escape_closes(phone: Page, demo_site: Path) -> None:
    phone.goto(planner(demo_site, "clinic"))
    box = phone.locator("#planner-search")
    box.focus()
    phone.keyboard.type("no such thing anywhere")
    assert phone.locator("#planner-matches").inner_text() == "no device matches"
    phone.keyboard.press("Enter")
    status = phone.locator("#planner-status")
    assert status.inner_text() == "No device matches “no such thing anywhere”: nothing is added."
    phone.keyboard.press("Escape")
    assert phone.locator("#planner-matches").is_hidden()
    assert box.get_attribute("aria-expanded") == "false"
    assert chosen(phone) == []


def test_the_recorded_present_positions_can_be_chosen(
    phone: Page, demo_site: Path, demo: Portfolio
) -> None:
    """Where they make a difference: the devices that stand elsewhere, and what hangs on them."""
    tags = [tag for tag in demo.network.devices if tag.startswith("clinic:")]
    differing = next(
        t for t in tags if answer(demo, t)["loads"] != answer(demo, t, now=True)["loads"]
    )
    phone.goto(planner(demo_site, "clinic", f"#open={differing.partition(':')[2]}"))
    # Nothing said means as things stand; a change of the choice writes it down.
    assert phone.locator("#planner-positions").input_value() == "present"
    assert "otherwise today" not in phone.locator("#planner-summary").inner_text()
    phone.locator("#planner-positions").select_option("normal")
    phone.wait_for_url("**;normal")
    assert "STOP Switches stand otherwise today" in phone.locator("#planner-summary").inner_text()
    phone.locator("#planner-positions").select_option("present")
    phone.wait_for_url("**;present")
    expected = [
        line["tag"].partition(":")[2] for line in answer(demo, differing, now=True)["loads"]
    ]
    heads = phone.locator("#planner-answer tbody th > :first-child").all_inner_texts()
    assert sorted(heads) == sorted(expected)
    assert "recorded present switch positions" in phone.locator("#planner-answer").inner_text()


def test_the_normal_positions_warn_of_what_hangs_elsewhere_today(
    phone: Page, demo_site: Path
) -> None:
    """EQ-1 hangs on LP-1/38 today; its vaccine refrigerator is not on LP-1 in the normal state."""
    phone.goto(planner(demo_site, "clinic", "#open=LP-1/main;normal"))
    text = phone.locator("#planner-summary").inner_text()
    assert "LP-1/38-40-42 closed" in text
    assert "from the present ones 30 more loads are affected: " in text
    assert "REF-116V" in text


def test_what_leans_on_what_goes_dark_is_named(phone: Page, demo_site: Path) -> None:
    """LS-1/4 feeds the battery charger that GEN-1 starts with."""
    phone.goto(planner(demo_site, "clinic", "#open=LS-1/4"))
    text = " ".join(phone.locator("#planner-summary").inner_text().split())
    assert "Leans on what goes dark: GEN-1 " in text
    assert "may not start or carry: it needs LS-1/4" in text


def test_what_is_typed_and_not_chosen_is_said(phone: Page, demo_site: Path) -> None:
    phone.goto(planner(demo_site, "clinic"))
    phone.locator("#planner-search").fill("UTIL-1")
    phone.locator("#planner-search").blur()
    assert "“UTIL-1” is not chosen" in phone.locator("#planner-status").inner_text()


def test_a_device_of_the_building_that_feeds_it_can_be_picked(
    phone: Page, demo_site: Path, demo: Portfolio
) -> None:
    phone.goto(planner(demo_site, "garage"))
    phone.locator("#planner-search").focus()
    phone.keyboard.type("workshop:LC-1/19")
    phone.keyboard.press("Enter")
    expect(phone.locator("#planner-chosen li")).to_have_count(1)
    expected = answer(demo, "workshop:LC-1/19")
    heads = phone.locator("#planner-answer tbody th > :first-child").all_inner_texts()
    assert heads == [line["tag"] for line in expected["loads"]]
    # A contradicted record stands on top, letter for letter as on the other pages.
    assert expected["stop"]
    for problem in expected["stop"]:
        text = re.sub("<[^>]*>", "", str(code(sentence(problem["message"]))))
        assert text in phone.locator("#planner-answer > .rg-stop").inner_text()


def test_whom_to_tell_and_what_stays_live(phone: Page, demo_site: Path, demo: Portfolio) -> None:
    phone.goto(planner(demo_site, "clinic", "#open=LP-1/14;normal"))
    expected = answer(demo, "clinic:LP-1/14")
    text = phone.locator("#planner-answer").inner_text()
    for contact in expected["notify"]:
        phone_number = f", {contact['phone']}" if contact["phone"] else ""
        assert f"{contact['role']}{phone_number} ({contact['when']})" in text
    for line in expected["still_live"]:
        assert line["what"] in text
    assert all(caution in phone.locator(".rg-cautions").inner_text() for caution in CAUTIONS)


@pytest.mark.parametrize("choice", ["#open=MSB/main;normal", "#open=MSB/main", "#open=LP-1/14", ""])
def test_nothing_scrolls_sideways_and_what_is_pressed_is_big_enough(
    phone: Page, demo_site: Path, choice: str
) -> None:
    phone.goto(planner(demo_site, "clinic", choice))
    phone.locator("#planner-search").fill("recept")
    assert phone.evaluate("document.documentElement.scrollWidth") == 390
    heights = phone.evaluate(
        """[...document.querySelectorAll('.rg-planner :is(button, input, select, [role=option])')]
             .map(one => one.getBoundingClientRect().height).filter(height => height > 0)"""
    )
    assert len(heights) > 4
    assert min(heights) >= 44


def test_the_link_can_be_taken_along(phone: Page, demo_site: Path) -> None:
    phone.goto(planner(demo_site, "clinic", "#open=LP-1/14;normal"))
    phone.get_by_role("button", name="Copy link").click()
    expect(phone.locator("#planner-status")).not_to_be_empty()
    copied = "The link is copied." in phone.locator("#planner-status").inner_text()
    assert copied or phone.locator("#planner-link").input_value() == phone.url


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_paper_holds_the_choice_the_counts_every_column_and_the_cautions(
    phone: Page, demo_site: Path, demo: Portfolio, paper: str
) -> None:
    phone.goto(planner(demo_site, "workshop", "#open=LC-1/19,garage:GP-1/main;normal"))
    pdf = PdfReader(io.BytesIO(phone.pdf(format=paper)))
    pages = [page.extract_text() for page in pdf.pages]
    text = " ".join(" ".join(pages).split())
    expected = answer(demo, "workshop:LC-1/19", "garage:GP-1/main")
    for part in ("LC-1/19", f"{len(expected['loads'])} loads affected", "Whom to tell", *CAUTIONS):
        assert part in text
    assert text.count("STOP: do not rely on this plan") == 1
    for furniture in ("Copy link", "Start over", "tag, purpose, room"):
        assert furniture not in text
    # The last column: a grade for every load, on the paper and not beyond its edge.
    width = float(pdf.pages[0].mediabox.width)
    grades = []

    def visit(piece: str, *place: Any) -> None:
        matrix, position, _font, size = place
        x = matrix[0] * position[4] + matrix[2] * position[5] + matrix[4]
        if piece.strip() in ("unverified", "traced", "confirmed"):
            grades.append(x + size * abs(matrix[0]) * len(piece.strip()) * 0.6)

    for page in pdf.pages:
        page.extract_text(visitor_text=visit)
    assert len(grades) == len(expected["loads"])
    assert max(grades) < width
    for number, page_text in enumerate(pages, 1):
        assert "Plan an outage · revision" in page_text
        assert f"page {number} of {len(pages)}" in page_text


def test_paper_begins_with_what_says_stop(phone: Page, demo_site: Path) -> None:
    phone.goto(planner(demo_site, "workshop", "#open=LC-1/19,garage:GP-1/main;normal"))
    phone.emulate_media(media="print")
    order = [
        ".rg-stop >> visible=true",
        "#planner-chosen",
        "#planner-summary",
        "#planner-answer h2 >> text=What is opened",
        "#planner-answer tbody tr >> nth=0",
        "#planner-answer h2 >> text=Stays live",
        "#planner-answer h2 >> text=Whom to tell",
        ".rg-cautions",
    ]
    tops = [phone.locator(one).first.bounding_box() for one in order]
    places = [box["y"] for box in tops if box is not None]
    assert len(places) == len(order)
    assert places == sorted(places)


def test_without_scripts_it_leads_to_the_downstream_lists(
    browser: Browser, demo_site: Path
) -> None:
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(planner(demo_site, "clinic", "#open=LP-1/14;normal"))
    assert "This page needs JavaScript" in page.locator("article").inner_text()
    links = page.locator("#planner-without a").evaluate_all("all => all.map(a => a.href)")
    assert any(link.endswith("/clinic/downstream/MSB/main.html") for link in links)
    assert any(link.endswith("/clinic/panels/LP-1.html") for link in links)
    assert not page.locator("#planner").is_visible()
    context.close()


def test_without_its_data_it_gives_no_answer(
    browser: Browser, demo_site: Path, tmp_path: Path
) -> None:
    """A building copied to a stick without the one it hangs on."""
    for path in ("garage/planner.html", "garage/planner-data.js", *_assets(demo_site)):
        (tmp_path / path).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / path).write_bytes((demo_site / path).read_bytes())
    page = browser.new_page()
    page.goto(planner(tmp_path, "garage", "#open=GP-1/main"))
    text = page.locator("article").inner_text()
    assert (
        "The planner cannot answer: the data of workshop, which hangs on garage, is missing" in text
    )
    assert not page.locator("#planner").is_visible()
    page.close()


def _assets(site: Path) -> list[str]:
    return [str(path.relative_to(site)) for path in (site / "assets").glob("outage-*.js")]


def test_the_words_are_those_of_the_other_pages(phone: Page, demo_site: Path) -> None:
    phone.goto(planner(demo_site, "clinic"))
    assert phone.evaluate("outage.OUTCOME_CLASS") == OUTCOME_CLASS
    cases = [
        {"outcome": outcome, "detail": detail, "may_be_energized_again": again}
        for outcome in OUTCOMES
        for detail in ("", "UPS-1: 8 min", NEUTRAL_LIVE)
        for again in (True, False)
    ]
    given = phone.evaluate("cases => cases.map(outage.outcomeText)", cases)
    assert given == [
        outcome_text(one["outcome"], one["detail"], again=one["may_be_energized_again"])  # type: ignore[arg-type]
        for one in cases
    ]


def test_every_link_it_makes_leads_to_a_page(phone: Page, demo_site: Path) -> None:
    links: set[str] = set()
    for building, choice in (
        ("clinic", "MSB/main,UPS-1"),
        ("garage", "workshop:LC-1/19,GP-1/main"),
    ):
        phone.goto(planner(demo_site, building, f"#open={choice}"))
        links |= set(phone.locator("#planner-answer a").evaluate_all("all => all.map(a => a.href)"))
    assert len(links) > 300
    inside = {link for link in links if "#planner-stops" not in link}
    paths = {link.partition("#")[0].removeprefix(f"{demo_site.as_uri()}/") for link in inside}
    assert [path for path in sorted(paths) if not (demo_site / path).is_file()] == []
    anchors = {link for link in inside if "#" in link}
    for link in sorted(anchors)[::20]:
        path, _, anchor = link.partition("#")
        html = (demo_site / path.removeprefix(f"{demo_site.as_uri()}/")).read_text("utf-8")
        assert f'id="{anchor}"' in html


def test_every_downstream_page_leads_to_the_planner_with_its_device(
    phone: Page, demo_site: Path, demo: Portfolio
) -> None:
    for tag in demo.network.devices:
        building, _, local = tag.partition(":")
        html = (demo_site / building / "downstream" / f"{local}.html").read_text("utf-8")
        # Also in the box that says what stands otherwise.
        (choice,) = set(re.findall(r'href="[./]*planner\.html#([^"]*)"', html))
        assert choice.replace("%3D", "=") == f"open={local}"
    phone.goto((demo_site / "clinic/downstream/LP-1/14.html").as_uri())
    phone.get_by_role("link", name="Plan an outage with others").click()
    phone.wait_for_url("**/clinic/planner.html#**")
    assert chosen(phone) == ["LP-1/14"]
