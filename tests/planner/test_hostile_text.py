"""Hostile text of the records is text in the planner too: nothing runs, and it is shown as written.

The records are those that the page tests use: something hostile in every text field there is.
"""

import json
from pathlib import Path

import pytest
from playwright.sync_api import Browser

from recordgen.pages.planner_data import as_script, planner_data
from recordgen.pages.view import View
from recordgen.portfolio import load_portfolio
from recordgen.site.build import build_site
from tests.conftest import AS_OF
from tests.pages.hostile import BUILDING, write_records
from tests.pages.test_hostile import HOSTILE
from tests.planner.running import Asked, differences, page_with, scripts

# Beyond what HTML could mistake: separators that end a line in some scripts, letters beyond the
# basic plane, and what ends a comment, a script or a string.
ODD = [
    *HOSTILE,
    "\u2028\u2029",
    "*/ ` ${window.struck = 1} \\u003c/script>",
    "\U0001f50c \U00020000",
]


@pytest.mark.parametrize("hostile", ODD, ids=range(len(ODD)))
def test_odd_text_comes_through_letter_for_letter(
    browser: Browser, tmp_path: Path, hostile: str
) -> None:
    portfolio = load_portfolio(write_records(tmp_path, lambda _: f"a {hostile} z"), AS_OF)
    assert [str(p) for p in portfolio.problems if p.severity == "error"] == []
    questions = [([tag], "normal") for tag in portfolio.network.devices]
    page = page_with(browser, scripts().values())
    assert list(differences(page, [Asked(portfolio, questions)])) == []  # type: ignore[arg-type]
    assert page.evaluate("window.struck") is None
    page.close()


@pytest.mark.parametrize("hostile", ODD, ids=range(len(ODD)))
def test_data_is_harmless_wherever_it_stands(tmp_path: Path, hostile: str) -> None:
    portfolio = load_portfolio(write_records(tmp_path, lambda _: f"a {hostile} z"), AS_OF)
    for data in planner_data(View(portfolio)).values():
        text = as_script(data)
        assert text.isascii()
        assert not set("<>&") & set(text)
        values = text[text.index("push(") + len("push(") : text.rindex(")")]
        # Numbers of rows are keys of text in JSON.
        assert json.loads(values) == json.loads(json.dumps(data))


def test_nothing_runs_whatever_is_chosen(browser: Browser, tmp_path: Path) -> None:
    text = " ".join(HOSTILE)
    folder = write_records(tmp_path, lambda _: text)
    devices = load_portfolio(folder, AS_OF).network.devices
    site = build_site(folder=tmp_path, as_of=AS_OF)
    page = browser.new_page(offline=True)
    told: list[str] = []
    page.on("dialog", lambda dialog: (told.append(dialog.message), dialog.dismiss()))
    page.on("pageerror", lambda error: told.append(str(error)))
    page.on("console", lambda line: told.append(line.text) if line.type == "error" else None)
    address = (site / BUILDING / "planner.html").as_uri()
    page.goto(address)
    names = [tag.removeprefix(f"{BUILDING}:") for tag in devices]
    for choice in [*names, ",".join(names)]:
        page.evaluate("choice => { window.location.hash = `open=${choice}`; }", choice)
        page.wait_for_function(
            "count => document.querySelectorAll('#planner-chosen li').length === count",
            arg=len(choice.split(",")),
        )
    for letters in ("script", "img"):
        page.locator("#planner-search").fill(letters)
        assert page.locator("#planner-matches [role=option]").count() > 0
    assert "<script>window.struck = 1" in page.locator("#planner-answer").inner_text()
    assert page.locator("article img, article svg[onload], #planner script").count() == 0
    # The address is text as well.
    page.goto(f"{address}#open=%3Cimg%20src=x%20onerror=window.struck=1%3E;present")
    page.reload()
    assert "<img src=x onerror=window.struck=1>" in page.locator("#planner-summary").inner_text()
    page.pdf()
    assert page.evaluate("window.struck") is None
    page.close()
    assert told == []
