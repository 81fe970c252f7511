"""A load that somebody wants to add: what is asked of a panel."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import ValidationError

from recordgen.calc.category_total import Category, CategoryTotal
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.load_size import load_size
from recordgen.records.parts import Conductors
from recordgen.records.supply import Load, LoadKind


class CannotAsk(ValueError):
    """The question has no meaning for this panel: its words say why."""


@dataclass(frozen=True)
class FitQuestion:
    """One more load: its size [VA], poles, category, and whether it runs three hours or more."""

    load_va: float
    poles: int
    category: Category = "other"
    continuous: bool = False

    @property
    def total(self) -> CategoryTotal:
        """The load as a total of its category."""
        continuous = self.load_va if self.continuous else 0.0
        return CategoryTotal(self.category, (self.load_va,), continuous, 0)


def question_of(
    panel: Element, power: str, poles: int, kind: LoadKind, *, continuous: bool
) -> FitQuestion:
    """Return a load that somebody typed as a question.

    Raises
    ------
    CannotAsk
        The power cannot be read, or nothing follows from it for this panel.
    """
    try:
        load = Load.model_validate({"kind": kind, "power": power})
    except ValidationError as error:
        raise CannotAsk(error.errors()[0]["msg"]) from None
    size = load_size("", load, panel.system, poles)
    if size.va is None or size.va <= 0:
        why = "; ".join(need.why or f"{need.field} not recorded" for need in size.needs)
        raise CannotAsk(f'the load "{power}": {why or "it has to be above zero"}')
    return FitQuestion(size.va, poles, size.category, continuous or size.counts_continuous)


def conductors_of(size: str, length: str, raceway: str) -> Conductors:
    """Return conductors that somebody typed.

    Raises
    ------
    CannotAsk
        One of the words cannot be read.
    """
    try:
        return Conductors.model_validate({"size": size, "length": length, "raceway": raceway})
    except ValidationError as error:
        raise CannotAsk(error.errors()[0]["msg"]) from None
