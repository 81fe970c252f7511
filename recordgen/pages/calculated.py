"""Calculated answers as pages show them: text with unit, inputs, source, and what is missing."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import floor, log10
from typing import Final

from recordgen.calc.answer import Answer, Input, Need, NoValue, Origin
from recordgen.network.model import building_of, local
from recordgen.pages.view import View

NOT_KNOWN: Final = "not known"
DIGITS: Final = 3
"""Figures that are shown: a screening value is not known better."""

LISTED: Final = 12
"""How many records a line of what is missing names before it says how many more there are."""

_LARGER: Final = {"VA": ("kVA", 1_000.0), "A": ("kA", 10_000.0), "W": ("kW", 1_000.0)}
"""Unit → the one that is written from some amount on, and that amount."""


@dataclass(frozen=True)
class Asked:
    """A question that is asked of an element, with its answer.

    Attributes
    ----------
    label : str
    answer : Value or NoValue
    says : str
        The answer in words, where a bare number would not do; "at least" is put before it.
    origin : Origin
        "recorded" where the answer is a figure of the records, and no result.
    """

    label: str
    answer: Answer
    says: str = ""
    origin: Origin = "calculated"

    @property
    def needs(self) -> tuple[Need, ...]:
        """What is not recorded."""
        return self.answer.needs if isinstance(self.answer, NoValue) else self.answer.at_least


@dataclass(frozen=True)
class ShownInput:
    """An input; `tag` is the full tag of its record where that has a place on the site."""

    name: str
    value: str
    origin: Origin
    tag: str
    where: str


@dataclass(frozen=True)
class Missing:
    """What several records lack alike.

    Attributes
    ----------
    what : str
        The field and how many records lack it: "power factor of 9 loads".
    short : str
        The same, but of a single record the field alone.
    why : str
        What is wrong with it; empty where it is simply not recorded.
    tags : tuple of str
        Full tags of the first of them.
    more : int
        How many further ones are not named.
    """

    what: str
    short: str
    why: str
    tags: tuple[str, ...]
    more: int


@dataclass(frozen=True)
class Shown:
    """An answer, ready for a page."""

    label: str
    text: str
    known: bool
    origin: Origin
    inputs: tuple[ShownInput, ...]
    formula: str
    source: str
    missing: tuple[Missing, ...]


def shown(view: View, asked: Asked, own: str = "") -> Shown:
    """Return an answer ready for a page; inputs of the record `own` have no link to its card."""
    answer = asked.answer
    if isinstance(answer, NoValue):
        return Shown(
            label=asked.label,
            text=NOT_KNOWN,
            known=False,
            origin=asked.origin,
            inputs=(),
            formula="",
            source="",
            missing=missing_of(view, answer.needs),
        )
    return Shown(
        label=asked.label,
        text=answer_text(answer, asked.says),
        known=True,
        origin=asked.origin,
        inputs=tuple(_input(view, each, own) for each in answer.inputs),
        formula=answer.formula,
        source=answer.source,
        missing=missing_of(view, answer.at_least),
    )


def shown_together(view: View, questions: Iterable[Asked], own: str) -> tuple[Shown, ...]:
    """Return answers ready for the card of a record, by its full tag.

    Those that wait for the same records become one.
    """
    found: list[Shown] = []
    waiting: dict[tuple[Missing, ...], list[Shown]] = {}
    for asked in questions:
        one = shown(view, asked, own)
        if one.known:
            found.append(one)
        else:
            waiting.setdefault(one.missing, []).append(one)
    for group in waiting.values():
        label = group[0].label + "".join(
            f", {one.label[0].lower()}{one.label[1:]}" for one in group[1:]
        )
        found.append(replace(group[0], label=label))
    return tuple(found)


def answer_text(answer: Answer, says: str = "") -> str:
    """Return an answer in short: "43.6 kVA", "at least 43.6 kVA", "not known"."""
    if isinstance(answer, NoValue):
        return NOT_KNOWN
    text = says or amount_text(answer.amount, answer.unit)
    return f"at least {text}" if answer.at_least else text


def _input(view: View, each: Input, own: str) -> ShownInput:
    if each.where == own:
        return ShownInput(each.name, each.value, each.origin, "", "")
    has_place = ":" in each.where and view.place_of(each.where) is not None
    tag = each.where if has_place else ""
    where = local(each.where) if each.origin == "recorded" and ":" in each.where else each.where
    return ShownInput(each.name, each.value, each.origin, tag, where)


def amount_text(amount: float, unit: str) -> str:
    r"""Return an amount with its unit, rounded to three figures, in one piece.

    Examples
    --------
    >>> [amount_text(43_562, "VA"), amount_text(104.26, "A"), amount_text(0.5, "%")]
    ['43.6\xa0kVA', '104\xa0A', '0.5\xa0%']
    """
    larger = _LARGER.get(unit)
    if larger is not None and abs(amount) >= larger[1]:
        return f"{rounded(amount / 1000)}\xa0{larger[0]}"
    return f"{rounded(amount)}\xa0{unit}".rstrip()


def percent_text(percent: float) -> str:
    r"""Return how much of a rating is used: what exceeds it never reads "100 %".

    Examples
    --------
    >>> percent_text(84.62), percent_text(100.3)
    ('84.6\xa0%', '100.3\xa0%')
    """
    if exceeds(percent) and rounded(percent) == "100":
        return f"{max(100.1, round(percent, 1))}\xa0%"
    return amount_text(percent, "%")


def exceeds(percent: float) -> bool:
    """Say whether more than a rating is used; a sum of many loads is not exact to the last bit."""
    return percent > 100 * (1 + 1e-9)


def rounded(amount: float) -> str:
    """Return an amount with three figures, without an exponent.

    Examples
    --------
    >>> rounded(1234.5), rounded(0.03456), rounded(99.96), rounded(0)
    ('1,230', '0.0346', '100', '0')
    """
    if amount == 0:
        return "0"
    decimals = DIGITS - 1 - floor(log10(abs(amount)))
    value = round(amount, decimals)
    if value and floor(log10(abs(value))) > floor(log10(abs(amount))):
        decimals -= 1
    text = f"{value:,.{max(0, decimals)}f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def missing_of(view: View, needs: Iterable[Need]) -> tuple[Missing, ...]:
    """Return what is missing, one line for each field, the longest lists last.

    A field that one record lacks is often worth more than one that a hundred lack.
    """
    groups: dict[tuple[str, str, str], dict[str, None]] = {}
    for need in needs:
        key = (kind_of(view, need.tag), need.field, need.why)
        groups.setdefault(key, {})[need.tag] = None
    listed = [(key, sorted(tags)) for key, tags in groups.items()]
    listed.sort(key=lambda item: (len(item[1]), item[0]))
    return tuple(
        Missing(
            what=f"{field_words(field)} of {counted(len(tags), kind)}",
            short=field_words(field) + (f" of {counted(len(tags), kind)}" if tags[1:] else ""),
            why=why,
            tags=tuple(tags[:LISTED]),
            more=max(0, len(tags) - LISTED),
        )
        for (kind, field, why), tags in listed
    )


_KINDS: Final = {
    "load": "loads",
    "circuit": "circuits",
    "panel": "panels",
    "source": "sources",
    "piece of equipment": "pieces of equipment",
    "building": "buildings",
    "record": "records",
}


def kind_of(view: View, tag: str) -> str:
    """Return what kind of record a full tag names, as `counted` knows it."""
    if tag in view.network.loads:
        return "load"
    if tag in view.network.circuit_zone or (
        "/" in tag and view.is_panel(tag.partition("/")[0]) and not tag.endswith("/main")
    ):
        return "circuit"
    if view.is_panel(tag.removesuffix("/main")):
        return "panel"
    if view.is_equipment(tag):
        return "piece of equipment"
    if tag in view.network.sources:
        return "source"
    return "building" if tag == f"{building_of(tag)}:building" else "record"


def counted(count: int, kind: str) -> str:
    """Return a number of records: "1 load", "9 loads"."""
    return f"{count} {kind if count == 1 else _KINDS[kind]}"


def field_words(field: str) -> str:
    """Return a key of the records as people say it: `power_factor` is "power factor"."""
    return field.replace("_", " ")
