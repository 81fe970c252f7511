"""Validation errors of the models, turned into problems with a place and a hint."""

from __future__ import annotations

import difflib
import typing
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Final

from pydantic import BaseModel, ValidationError
from yaml.nodes import Node

from recordgen.problems import Problem
from recordgen.records import yaml_nodes
from recordgen.records.quantities import shown

MAX_PROBLEMS: Final = 100
"""Problems told of one record; one with more is no record but a file of another kind."""

_SHORT: Final = 3


def closest(word: str, known: Iterable[str]) -> str | None:
    """Return `did you mean "…"?` for the known word most like `word`, or None."""
    by_lower = {name.lower(): name for name in known}
    lower = word.lower()
    begins = [name for name in by_lower if name.startswith(lower) or lower.startswith(name)]
    if lower in by_lower:
        found = [lower]
    elif len(lower) < _SHORT:
        # "on" is nearer to "open" than to "closed": few letters guess at the opposite.
        found = []
    elif len(begins) == 1:
        found = begins
    else:
        found = difflib.get_close_matches(lower, by_lower, n=3, cutoff=0.6)
        # Letters that changed places are the likeliest slip.
        found.sort(key=lambda name: sorted(name) != sorted(lower))
    return f'did you mean "{by_lower[found[0]]}"?' if found else None


def from_validation(
    error: ValidationError,
    models: Sequence[type[BaseModel]],
    key: Node,
    node: Node,
    shown_path: str,
) -> Iterator[Problem]:
    """Yield a problem for each error, at the line and column of the value it is about.

    Parameters
    ----------
    error : ValidationError
        What validation of one record raised.
    models : sequence of model classes
        What the record may be.
    key, node : Node
        The record's tag and the record as written.
    shown_path : str
        Its file, as messages name it.
    """
    details = error.errors(include_url=False, include_input=True)
    for detail in details[:MAX_PROBLEMS]:
        wrong = _Wrong(detail["type"], detail["loc"], detail["input"], detail.get("ctx", {}))
        place = yaml_nodes.location(_place_node(wrong, key, node), shown_path)
        code, message, hint = _said(wrong, models, detail["msg"], _owner(wrong.path, key, node))
        yield Problem("error", code, message, place, hint)
    if len(details) > MAX_PROBLEMS:
        message = f"{len(details) - MAX_PROBLEMS:,} more problems in {_owner((), key, node)}"
        place = yaml_nodes.location(key, shown_path)
        yield Problem("error", "many-problems", message, place, "mend the first ones")


@dataclass(frozen=True)
class _Wrong:
    """One error of a validation: what kind, where, and what was found there."""

    kind: str
    path: Sequence[str | int]
    found: object
    context: Mapping[str, Any]


def _place_node(wrong: _Wrong, key: Node, node: Node) -> Node:
    if wrong.kind == "extra_forbidden":
        return yaml_nodes.key_of(node, wrong.path)
    if wrong.kind in ("missing", "union_tag_not_found"):
        # What is not there has no place: the name of the record that lacks it is nearest.
        owner = yaml_nodes.key_of(node, wrong.path[:-1] if wrong.kind == "missing" else wrong.path)
        return key if owner is node else owner
    return yaml_nodes.find(node, wrong.path)


def _owner(path: Sequence[str | int], key: Node, node: Node) -> str:
    """Return what holds the value at `path`, as messages name it: `"LP-1"`, `item 2 of "steps"`."""
    steps = [str(key.value), *yaml_nodes.written(node, path[:-1])]
    last = steps[-1]
    return f"item {last + 1} of {shown(steps[-2])}" if isinstance(last, int) else shown(last)


def _said(
    wrong: _Wrong, models: Sequence[type[BaseModel]], message: str, owner: str
) -> tuple[str, str, str | None]:
    """Return code, message and hint."""
    context = wrong.context
    match wrong.kind:
        case "extra_forbidden":
            names = [name for m in _models_at(models, wrong.path[:-1]) for name in _names(m)]
            name = str(wrong.path[-1])
            hint = closest(name, names) or f"known keys: {', '.join(sorted(set(names)))}"
            return "unknown-key", f"{shown(name)} is not a known key here", hint
        case "missing" if isinstance(wrong.path[-1], int):
            count = len(wrong.found) if isinstance(wrong.found, list) else 0
            return _wrong_count(wrong.path[-1] + 1, count)
        case "missing":
            name = str(wrong.path[-1])
            words = _words(_models_at(models, wrong.path[:-1]), name)
            return "missing-key", f"{shown(name)} is missing in {owner}", _add(name, words)
        case "union_tag_not_found":
            hint = _add("kind", sorted(_words(models, "kind")))
            return "missing-key", f'"kind" is missing in {owner}', hint
        case "union_tag_invalid":
            return _not_one_of("kind", context["tag"], sorted(_words(models, "kind")))
        case "literal_error":
            name = next(str(step) for step in reversed(wrong.path) if isinstance(step, str))
            allowed = _words(_models_at(models, wrong.path[:-1]), name)
            return _not_one_of(name, wrong.found, allowed)
        case "model_type" | "model_attributes_type" | "dict_type":
            message = f"expected keys and values, found {shown(wrong.found)}"
            return "wrong-type", message, "write `key: value` lines, indented below this name"
        case "tuple_type" | "list_type":
            message = f"expected a list, found {shown(wrong.found)}"
            return "wrong-type", message, "write it in brackets, or begin each item with a hyphen"
        case "too_long":
            return _wrong_count(context["max_length"], context["actual_length"])
        case kind:
            return kind.replace("_", "-"), message, context.get("hint")


def _wrong_count(expected: int, count: int) -> tuple[str, str, str]:
    return "wrong-type", f"expected {expected} items, found {count}", "write [FIRST, SECOND]"


def _add(name: str, words: Sequence[str]) -> str:
    return f"add `{name}:`" + (f", one of: {', '.join(words)}" if words else "")


def _words(models: Sequence[type[BaseModel]], name: str) -> list[str]:
    """Return the words that a key may hold, in the order of its models."""
    found: dict[str, None] = {}
    for model in models:
        for field_name, field in model.model_fields.items():
            if name == (field.alias or field_name):
                found.update(dict.fromkeys(_literals(field.annotation)))
    return list(found)


def _literals(annotation: Any) -> Iterator[str]:
    if typing.get_origin(annotation) is typing.Literal:
        yield from map(str, typing.get_args(annotation))
    else:
        for part in typing.get_args(annotation):
            yield from _literals(part)


def _not_one_of(name: str, found: object, allowed: Sequence[str]) -> tuple[str, str, str]:
    write = f"write one of: {', '.join(allowed)}"
    # The tag of a union arrives as text: "None" is an empty `kind:`, for no kind is called so.
    if found is None or found == "None":
        return "missing-key", f"{shown(name)} is empty", write
    hint = closest(str(found), allowed) or write
    return "unknown-word", f"{shown(found)} is not a word for {shown(name)}", hint


def _names(model: type[BaseModel]) -> list[str]:
    return [field.alias or name for name, field in model.model_fields.items()]


def _models_at(
    models: Sequence[type[BaseModel]], path: Sequence[str | int]
) -> list[type[BaseModel]]:
    """Return the models that a mapping at `path` below `models` may be."""
    here = list(models)
    for step in path:
        inside = [m for owner in here for m in _step_into(owner, str(step))]
        if inside:
            here = inside
    return here


def _step_into(model: type[BaseModel], step: str) -> list[type[BaseModel]]:
    for name, field in model.model_fields.items():
        if step == (field.alias or name):
            return list(models_in(field.annotation))
    kind = model.model_fields.get("kind")
    # A step that names a member of a union of kinds narrows to that member.
    return [model] if kind is not None and step in typing.get_args(kind.annotation) else []


def models_in(annotation: Any) -> Iterator[type[BaseModel]]:
    """Yield the record models that a type annotation names, at any depth."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield annotation
    else:
        for part in typing.get_args(annotation):
            yield from models_in(part)
