"""The scripts that answer in a browser, run in one, beside the answers of the commands."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

from playwright.sync_api import Browser, Page

from recordgen.network.ways import Positions
from recordgen.pages import paths
from recordgen.pages.planner_data import as_script, planner_data
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from recordgen.site.offline import HERE
from recordgen.terminal.downstream import downstream_json

Question = tuple[list[str], Positions]

# Answers come back as text, so that the order of their keys is kept.
ASK = """asked => asked.map(([scripts, questions]) => {
  globalThis.outageData = [];
  scripts.forEach(text => (0, eval)(text));
  const network = outage.joined(outageData);
  return questions.map(([tags, positions]) =>
    JSON.stringify(outage.answer(network, tags, positions)));
})"""
BATCH = 20


@dataclass(frozen=True)
class Asked:
    """Questions about a portfolio; of its buildings' data, only those named are given."""

    portfolio: Portfolio
    questions: list[Question]
    buildings: tuple[str, ...] | None = None

    @cached_property
    def view(self) -> View:
        return View(self.portfolio)

    @cached_property
    def scripts(self) -> list[str]:
        data = planner_data(self.view)
        return [as_script(data[name]) for name in self.buildings or data]

    @cached_property
    def expected(self) -> list[str]:
        """What the command prints for each question, without line breaks."""
        answers = self.view.answers
        return [
            json.dumps(downstream_json(answers.downstream(tags, positions)))
            for tags, positions in self.questions
        ]


def scripts() -> dict[str, str]:
    """Return name → text of the scripts that answer, in the order they are loaded in."""
    return {
        path.removeprefix("assets/outage-").removesuffix(".js"): (HERE / path).read_text("utf-8")
        for path in paths.ANSWER_SCRIPTS
    }


def page_with(browser: Browser, texts: Iterable[str]) -> Page:
    """Return a page that runs some scripts, without a network."""
    page = browser.new_page(offline=True)
    for text in texts:
        page.add_script_tag(content=text)
    return page


def answers(page: Page, asked: Sequence[Asked]) -> list[list[str]]:
    """Return the script's answers to all questions, in one call for many portfolios."""
    sent = [[each.scripts, each.questions] for each in asked]
    found: list[list[str]] = page.evaluate(ASK, sent)
    # Text is compared, in which Python and JavaScript write the same letter in two ways.
    return [[json.dumps(json.loads(text)) for text in texts] for texts in found]


def differences(page: Page, asked: Sequence[Asked], size: int = BATCH) -> Iterator[str]:
    """Yield a text for each question that the two answer differently, key order and all.

    `size` is how many portfolios are asked about in one call.
    """
    for start in range(0, len(asked), size):
        batch = asked[start : start + size]
        for number, (each, given) in enumerate(zip(batch, answers(page, batch), strict=True)):
            triples = zip(each.questions, given, each.expected, strict=True)
            for question, one, other in triples:
                if one != other:
                    yield f"portfolio {start + number}, {question}:\n{one}\nnot\n{other}"
