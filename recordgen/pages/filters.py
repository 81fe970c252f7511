"""Words that templates put values into."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from recordgen.network.downstream import Outcome
from recordgen.pages.answer_values import LoadLine
from recordgen.pages.wording import OUTCOME_CLASS, outcome_text


def outcome_class(outcome: Outcome) -> str:
    """Return the style class of an outcome."""
    return OUTCOME_CLASS[outcome]


def outcome_words(line: LoadLine) -> str:
    """Return an outcome in words."""
    return outcome_text(line.outcome, line.detail, again=line.again)


def sentence(text: str) -> str:
    """Return a message as a sentence: a capital first and a full stop last."""
    return f"{text[0].upper()}{text[1:]}{'' if text.endswith(('.', '?', '!')) else '.'}"


FILTERS: dict[str, Callable[..., Any]] = {
    "outcome_class": outcome_class,
    "outcome_words": outcome_words,
    "sentence": sentence,
}
