"""Records as readers see them: labels and texts for every field, unknown said as unknown."""

from __future__ import annotations

import datetime as dt
from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from pydantic import BaseModel

from recordgen.records.parts import Placed
from recordgen.records.positions import Position, Reference
from recordgen.records.quantities import Quantity
from recordgen.records.supply import MainLugs

NOT_RECORDED = "not recorded"
_LABELS = {"ppe": "PPE", "x_over_r": "X/R", "of": "about", "by": "by whom"}


@dataclass(frozen=True)
class Fact:
    """A label and its value as text; `known` is False where nothing is recorded."""

    label: str
    text: str
    known: bool = True


def facts(
    record: BaseModel, *, always: Collection[str] = (), skip: Collection[str] = ()
) -> tuple[Fact, ...]:
    """Return every recorded field of a record: what it is first, then how to get to it.

    Parameters
    ----------
    record : BaseModel
    always : collection of str
        Names of fields that are shown as "not recorded" where nothing is recorded.
    skip : collection of str
        Names of fields that the page shows in another way.
    """
    found = []
    fields = type(record).model_fields
    for name in sorted(fields, key=lambda name: name in Placed.model_fields):
        field = fields[name]
        if name in skip:
            continue
        value = getattr(record, name)
        label = _LABELS.get(field.alias or name) or (field.alias or name).replace("_", " ")
        label = label[0].upper() + label[1:]
        if value is None or value == () or value == {}:
            if name in always:
                found.append(Fact(label, NOT_RECORDED, known=False))
        elif value is not False or name in record.model_fields_set:
            # A part may be there with nothing in it: its key was written, and no more.
            text = text_of(value)
            known = bool(text.strip("\n; "))
            found.append(Fact(label, text if known else NOT_RECORDED, known))
    return tuple(found)


def joined(told: Iterable[Fact]) -> str:
    """Return facts on one line, each with its label; a kind says by itself what it is."""
    return "; ".join(
        fact.text if fact.label == "Kind" else f"{_inner(fact.label)}: {fact.text}" for fact in told
    )


def _inner(label: str) -> str:
    return label if label in _LABELS.values() else label.lower()


def text_of(value: object) -> str:
    """Return a value as text: quantities as written, parts of records as `label: value` pairs."""
    match value:
        case bool():
            return "yes" if value else "no"
        case Quantity():
            return value.written
        case MainLugs():
            return "main lugs"
        case dt.date():
            return value.isoformat()
        case Reference() | Position():
            return str(value)
        case BaseModel():
            return joined(facts(value))
        case tuple():
            apart = "\n" if any(isinstance(item, BaseModel) for item in value) else "; "
            return apart.join(text_of(item) for item in value)
        case Mapping():
            return "; ".join(f"{key}: {text_of(item)}" for key, item in value.items())
        case _:
            return str(value)
