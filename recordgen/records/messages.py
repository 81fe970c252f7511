"""Validation errors of the models, turned into problems with a place and a hint."""

from __future__ import annotations

import difflib
import typing
from collections.abc import Iterable, Iterator, Sequence
from typing import Any

from pydantic import BaseModel, ValidationError
from yaml.nodes import Node

from recordgen.problems import Location, Problem
from recordgen.records import yaml_nodes
from recordgen.records.quantities import shown


def closest(word: str, known: Iterable[str]) -> str | None:
    """Return `did you mean "…"?` for the known word most like `word`, or None."""
    by_lower = {name.lower(): name for name in known}
    found = difflib.get_close_matches(word.lower(), by_lower, n=1, cutoff=0.6)
    return f'did you mean "{by_lower[found[0]]}"?' if found else None


def from_validation(
    error: ValidationError, models: Sequence[type[BaseModel]], node: Node, shown_path: str
) -> Iterator[Problem]:
    """Yield a problem for each error, at the line and column of the value it is about.

    Parameters
    ----------
    error : ValidationError
        What validation of one record raised.
    models : sequence of model classes
        What the record may be.
    node : Node
        The record as written.
    shown_path : str
        Its file, as messages name it.
    """
    for detail in error.errors(include_url=False, include_input=True):
        path = detail["loc"]
        at_key = detail["type"] == "extra_forbidden"
        place_node = yaml_nodes.key_of(node, path) if at_key else yaml_nodes.find(node, path)
        place = yaml_nodes.location(place_node, shown_path)
        yield _problem(dict(detail), models, path, place)


def _problem(
    detail: dict[str, Any],
    models: Sequence[type[BaseModel]],
    path: Sequence[str | int],
    place: Location,
) -> Problem:
    context = detail.get("ctx", {})
    match detail["type"]:
        case "extra_forbidden":
            names = [name for m in _models_at(models, path[:-1]) for name in _field_names(m)]
            hint = closest(str(path[-1]), names) or f"known keys: {', '.join(sorted(set(names)))}"
            return Problem(
                "error", "unknown-key", f"{shown(path[-1])} is not a known key here", place, hint
            )
        case "missing":
            key = path[-1]
            message, hint = f'the key "{key}" is missing', f"add `{key}:`"
            return Problem("error", "missing-key", message, place, hint)
        case "union_tag_not_found":
            hint = f"add `kind:`, one of: {', '.join(_kinds(models))}"
            return Problem("error", "missing-key", 'the key "kind" is missing', place, hint)
        case "union_tag_invalid":
            allowed = [word.strip().strip("'") for word in context["expected_tags"].split(",")]
            return _not_one_of(context["tag"], allowed, place)
        case "literal_error":
            allowed = [
                part.strip().strip("'")
                for part in context["expected"].replace(" or ", ", ").split(", ")
            ]
            return _not_one_of(detail["input"], allowed, place)
        case "model_type" | "model_attributes_type" | "dict_type":
            message = f"expected keys and values, found {shown(detail['input'])}"
            hint = "write `key: value` lines, indented below this name"
            return Problem("error", "wrong-type", message, place, hint)
        case "tuple_type" | "list_type":
            message = f"expected a list, found {shown(detail['input'])}"
            return Problem("error", "wrong-type", message, place, "start each item with a hyphen")
        case "too_short" | "too_long":
            message = f"expected {context.get('min_length', context.get('max_length'))} items"
            return Problem("error", "wrong-type", message, place, "list them in brackets")
        case code:
            message = detail["msg"]
            return Problem("error", code.replace("_", "-"), message, place, context.get("hint"))


def _kinds(models: Sequence[type[BaseModel]]) -> list[str]:
    fields = (model.model_fields["kind"] for model in models)
    return sorted(str(word) for field in fields for word in typing.get_args(field.annotation))


def _not_one_of(found: object, allowed: Sequence[str], place: Location) -> Problem:
    hint = closest(str(found), allowed) or f"write one of: {', '.join(allowed)}"
    return Problem("error", "unknown-word", f"{shown(found)} is not expected here", place, hint)


def _field_names(model: type[BaseModel]) -> list[str]:
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
