"""Whatever a record says is text on the pages, never markup."""

import datetime as dt
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest
import yaml
from pydantic import TypeAdapter, ValidationError

from recordgen.pages.page import Page
from recordgen.pages.table import all_pages
from recordgen.portfolio import load_portfolio
from recordgen.records.building import BuildingRecords

EVERYTHING = Path(__file__).parents[1] / "cases" / "good" / "everything"
HOSTILE = (
    '<script>alert("x")</script>',
    '"><img src=x onerror=alert(1)>',
    "' onmouseover='alert(1)",
    "{{ 7*7 }}{% raw %}",
    "[x](javascript:alert(1)) `x`",
)
# A room must be one that is recorded; its name may be anything.
NAMES_A_RECORD = frozenset({"room"})


def _leaves(value: Any, path: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """Yield the path of every text below a value."""
    items = value.items() if isinstance(value, dict) else enumerate(value)
    for key, item in items:
        if isinstance(item, dict | list):
            yield from _leaves(item, (*path, key))
        elif isinstance(item, str) and not NAMES_A_RECORD & {key, *path[-1:]}:
            yield (*path, key)


def _poisoned(records: dict[str, Any], section: str) -> int:
    """Put hostile text wherever a section's model takes it; return into how many fields."""
    field = BuildingRecords.model_fields[section]
    reader = TypeAdapter(field.annotation)
    count = 0
    for path in list(_leaves(records[section])):
        place = records[section]
        for key in path[:-1]:
            place = place[key]
        before = place[path[-1]]
        place[path[-1]] = HOSTILE[count % len(HOSTILE)]
        try:
            reader.validate_python(records[section])
        except ValidationError:
            place[path[-1]] = before
        else:
            count += 1
    return count


def _empty_as_null(value: Any) -> Any:
    """Return a value with its empty texts as null again, as they were written."""
    if isinstance(value, dict):
        return {key: _empty_as_null(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_empty_as_null(item) for item in value]
    return value or None


class _Seen(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.elements: list[str] = []
        self.attributes: list[tuple[str, str]] = []
        self.text = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append(tag)
        self.attributes += [(name, value or "") for name, value in attrs]

    def handle_data(self, data: str) -> None:
        self.text += data


@pytest.fixture(scope="module")
def hostile_pages(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[Page], int]:
    folder = tmp_path_factory.mktemp("hostile") / "buildings"
    count = 0
    for source in sorted((EVERYTHING / "buildings").rglob("*.yaml")):
        text = source.read_text("utf-8")
        records = _empty_as_null(yaml.load(text, Loader=yaml.BaseLoader))  # noqa: S506
        for section in records:
            count += _poisoned(records, section)
        target = folder / source.relative_to(EVERYTHING / "buildings")
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text(yaml.safe_dump(records, allow_unicode=True, sort_keys=False), "utf-8")
    portfolio = load_portfolio(folder, dt.date(2026, 11, 25))
    assert [str(p) for p in portfolio.problems if p.severity == "error"] == []
    return list(all_pages(portfolio)), count


def test_every_kind_of_text_field_was_reached(hostile_pages: tuple[list[Page], int]) -> None:
    pages, count = hostile_pages
    assert count > 100
    assert len(pages) > 20


def test_no_record_becomes_markup(hostile_pages: tuple[list[Page], int]) -> None:
    for page in hostile_pages[0]:
        seen = _Seen()
        seen.feed(page.html)
        assert not {"script", "img", "iframe", "object", "style"} & set(seen.elements), page.path
        assert not [name for name, _ in seen.attributes if name.startswith("on")], page.path
        assert not [v for n, v in seen.attributes if n == "href" and ":" in v], page.path


@pytest.mark.parametrize("text", HOSTILE)
def test_hostile_text_is_shown_as_written(hostile_pages: tuple[list[Page], int], text: str) -> None:
    found = 0
    for page in hostile_pages[0]:
        seen = _Seen()
        seen.feed(page.html)
        found += text in seen.text
    assert found > 0
