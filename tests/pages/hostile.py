"""Records with something hostile in every text field, made from records that write every key."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, get_args

import yaml
from pydantic import BaseModel, PlainValidator
from pydantic.fields import FieldInfo

from recordgen.records.base import Text
from recordgen.records.building import Room
from recordgen.records.field import CableEnd
from recordgen.records.loader import load_records
from tests.conftest import ROOT

EVERYTHING = ROOT / "tests" / "cases" / "good" / "everything" / "buildings"
BUILDING = "everything"

Replace = Callable[[str], str]


def is_text(name: str, field: FieldInfo) -> bool:
    """Say whether a field holds text, or a list of texts; tags, references and values are none."""
    if name == "room":
        # The key of a room: records that name a room that is not there are not read.
        return False
    (reader,) = (m for m in get_args(Text) if isinstance(m, PlainValidator))
    return reader in field.metadata or any(_is_text(a) for a in get_args(field.annotation))


def _is_text(annotation: Any) -> bool:
    return annotation == Text or any(_is_text(a) for a in get_args(annotation))


def text_fields(value: Any) -> Iterator[tuple[str, str]]:
    """Yield every text field that some records have, with the model that declares it."""
    for model, name in _fields(value):
        if is_text(name, model.model_fields[name]):
            yield declaring(model, name), name


def declaring(model: type[BaseModel], name: str) -> str:
    """Return the name of the model that a field comes from: `room` of a load is one of `Placed`."""
    return [m.__name__ for m in model.__mro__ if name in vars(m).get("__annotations__", {})][-1]


def _fields(value: Any) -> Iterator[tuple[type[BaseModel], str]]:
    for part in value.values() if isinstance(value, dict) else value:
        if isinstance(part, BaseModel):
            for name, inner in part:
                if inner is not None and inner != ():
                    yield type(part), name
                yield from _fields([inner])
        elif isinstance(part, dict | tuple):
            yield from _fields(part)


def rewritten(model: Any, raw: Any, replace: Replace) -> Any:
    """Return raw records like `raw`, which were read as `model`, with every text replaced."""
    if isinstance(model, BaseModel):
        if not isinstance(raw, dict):
            # Short forms: a room by its name, the end of a cable by its place.
            return replace(raw) if isinstance(model, Room | CableEnd) else raw
        found = dict(raw)
        for name, field in type(model).model_fields.items():
            key = field.alias or name
            if key in raw and is_text(name, field):
                own = raw[key]
                found[key] = [*map(replace, own)] if isinstance(own, list) else replace(own)
            elif key in raw:
                found[key] = rewritten(getattr(model, name), raw[key], replace)
        return found
    if isinstance(model, dict) and isinstance(raw, dict):
        pairs = zip(raw.items(), model.values(), strict=True)
        return {key: rewritten(inner, value, replace) for (key, value), inner in pairs}
    if isinstance(model, tuple) and isinstance(raw, list):
        return [rewritten(inner, value, replace) for value, inner in zip(raw, model, strict=True)]
    if isinstance(model, tuple) and len(model) == 1:
        return rewritten(model[0], raw, replace)
    return raw


def write_records(folder: Path, replace: Replace) -> Path:
    """Write the records below `folder/buildings` and return that folder."""
    loaded = load_records(EVERYTHING).buildings[BUILDING]
    place = folder / "buildings" / BUILDING
    place.mkdir(parents=True)
    for number, path in enumerate(sorted((EVERYTHING / BUILDING).rglob("*.yaml"))):
        # The base loader makes nothing but text, lists and mappings.
        raw = yaml.load(path.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)  # noqa: S506
        records = {}
        for section, value in raw.items():
            model = getattr(loaded.records, section)
            if section != "building":
                model = {key: model[key] for key in value}
            records[section] = rewritten(model, value, replace)
        text = yaml.safe_dump(_blank(records), allow_unicode=True, sort_keys=False)
        (place / f"{number}.yaml").write_text(text, encoding="utf-8")
    return folder / "buildings"


def _blank(value: Any) -> Any:
    """Return the same with nothing where nothing was written."""
    if isinstance(value, dict):
        return {key: _blank(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_blank(inner) for inner in value]
    return value or None
