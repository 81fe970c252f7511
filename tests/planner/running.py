"""The scripts that answer in the browser, run in a browser, and the answers of Python beside them."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from typing import Any

from playwright.sync_api import Browser, Page

from recordgen.network.ways import Positions
from recordgen.pages import paths
from recordgen.pages.planner_data import as_script, planner_data
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from recordgen.site.offline import HERE
from recordgen.terminal.downstream import downstream_json

Question = tuple[list[str], Positions]

ASK = """asked => asked.map(([scripts, questions]) => {
  globalThis.outageData = [];
  scripts.forEach(text => (0, eval)(text));
  const network = outage.joined(outageData);
  return questions.map(([tags, positions]) =>
    JSON.stringify(outage.answer(network, tags, positions)));
})"""


def scripts() -> dict[str, str]:
    """Return name → text of the scripts that answer, in the order they are loaded in."""
    return {
        path.removeprefix("assets/outage-").removesuffix(".js"): (HERE / path).read_text("utf-8")
        for path in paths.ANSWER_SCRIPTS
    }


def page_with(browser: Browser, texts: Iterable[str]) -> Page:
    """Return a page of the browser that runs some scripts and may ask nobody for anything."""
    context = browser.new_context(offline=True)
    page = context.new_page()
    for text in texts:
        page.add_script_tag(content=text)
    return page


def answers_of_script(
    page: Page, asked: Sequence[tuple[Portfolio, list[Question]]]
) -> list[list[Any]]:
    """Return the script's answers to the questions about each portfolio, in one call."""
    sent = []
    for portfolio, questions in asked:
        data = planner_data(View(portfolio))
        sent.append([[as_script(one) for one in data.values()], questions])
    found: list[list[str]] = page.evaluate(ASK, sent)
    return [[json.loads(text) for text in texts] for texts in found]


def answers_of_python(portfolio: Portfolio, questions: Iterable[Question]) -> list[Any]:
    """Return what the command would print for each question."""
    answers = View(portfolio).answers
    return [downstream_json(answers.downstream(tags, positions)) for tags, positions in questions]


def differences(
    page: Page, asked: Sequence[tuple[Portfolio, list[Question]]]
) -> list[tuple[int, Question, str, str]]:
    """Return where the two differ: number of the portfolio, question, and both answers.

    Compared as text, so that the order of keys counts as that of lists does.
    """
    found = []
    for number, (given, (portfolio, questions)) in enumerate(
        zip(answers_of_script(page, asked), asked, strict=True)
    ):
        expected = answers_of_python(portfolio, questions)
        for question, one, other in zip(questions, given, expected, strict=True):
            texts = json.dumps(one), json.dumps(other)
            if texts[0] != texts[1]:
                found.append((number, question, *texts))
    return found
