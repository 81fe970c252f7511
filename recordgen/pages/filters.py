"""Words that templates put values into."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from markupsafe import Markup, escape

from recordgen.network.outcomes import Outcome
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


def code(text: str) -> Markup:
    """Return text as HTML, with what stands between backticks as code."""
    parts = text.split("`")
    if len(parts) % 2 == 0:
        return escape(text)
    inside = Markup("<code>{}</code>")
    return Markup("").join(
        inside.format(part) if index % 2 else escape(part) for index, part in enumerate(parts)
    )


FILTERS: dict[str, Callable[..., Any]] = {
    "outcome_class": outcome_class,
    "outcome_words": outcome_words,
    "sentence": sentence,
    "code": code,
}
