"""Every folder of broken records gives exactly the messages that stand beside it.

A case is a folder of tests/cases/bad/ with a portfolio in `buildings/` and, in `expected.txt`, what
its writer should read.
"""

import datetime as dt
import re
import typing
from collections.abc import Iterator
from pathlib import Path

import pytest
from pydantic import BaseModel

from recordgen.portfolio import load_portfolio
from recordgen.problems import Problem
from recordgen.records.building import BuildingRecords
from recordgen.records.loader import load_records
from recordgen.records.messages import models_in
from recordgen.records.yaml_text import MAX_BYTES

BAD = Path(__file__).parents[1] / "cases" / "bad"
CASES = sorted(path.name for path in BAD.iterdir() if path.is_dir())
AS_OF = dt.date(2026, 11, 25)
QUOTING = frozenset(
    {
        "unknown-key",
        "no-unit",
        "quantity",
        "count",
        "yes-no",
        "date",
        "reference",
        "position",
        "conductor-size",
        "system",
        "tag",
        "duplicate-key",
    }
)
"""Codes whose message begins with the very text that stands at the place it names."""


def problems_of(case: str, monkeypatch: pytest.MonkeyPatch) -> list[Problem]:
    monkeypatch.chdir(BAD / case)
    return load_portfolio(Path("buildings"), AS_OF).problems


@pytest.mark.parametrize("case", CASES)
def test_the_messages_are_the_expected_ones(case: str, monkeypatch: pytest.MonkeyPatch) -> None:
    expected = (BAD / case / "expected.txt").read_text(encoding="utf-8").splitlines()
    assert expected, "a case without a message proves nothing"
    assert [str(problem) for problem in problems_of(case, monkeypatch)] == expected


@pytest.mark.parametrize("case", CASES)
def test_the_place_holds_what_the_message_quotes(
    case: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for problem in problems_of(case, monkeypatch):
        word = re.match('"([^"<]*)"', problem.message)
        if problem.code in QUOTING and word:
            lines = Path(problem.location.path).read_text(encoding="utf-8").splitlines()
            there = lines[problem.location.line - 1][problem.location.column - 1 :]
            assert there.lstrip("\"'").startswith(word[1]), problem


@pytest.mark.parametrize("case", CASES)
def test_messages_are_one_line_of_printable_text_with_a_hint(
    case: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    for problem in problems_of(case, monkeypatch):
        assert str(problem).isprintable()
        if problem.severity == "error" and "there is no building" not in problem.message:
            assert problem.hint, problem


def test_there_are_cases_of_every_layer() -> None:
    assert len(CASES) >= 45
    assert sum(case.startswith("network-") for case in CASES) >= 10


def all_models(kind: typing.Any = BuildingRecords) -> Iterator[type[BaseModel]]:
    for model in models_in(kind):
        yield model
        for field in model.model_fields.values():
            yield from all_models(field.annotation)


def has_words(annotation: typing.Any) -> bool:
    # A field with one word only is the `kind` by which equipment is told apart.
    parts = typing.get_args(annotation)
    if typing.get_origin(annotation) is typing.Literal:
        return len(parts) > 1
    return any(has_words(part) for part in parts)


def test_there_is_a_case_of_every_list_of_words() -> None:
    named = {
        field.alias or name
        for model in all_models()
        for name, field in model.model_fields.items()
        if not any(models_in(field.annotation)) and has_words(field.annotation)
    }
    said = "".join((BAD / case / "expected.txt").read_text(encoding="utf-8") for case in CASES)
    refused = set(re.findall('is not a word for "(.*?)"', said))
    assert len(named) > 10
    assert named <= refused


def test_a_huge_file_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "buildings" / "depot"
    folder.mkdir(parents=True)
    folder.joinpath("building.yaml").write_text("building: {name: Depot}\n")
    folder.joinpath("huge.yaml").write_bytes(b"#" * (MAX_BYTES + 1))
    monkeypatch.chdir(tmp_path)
    (problem,) = load_records(Path("buildings")).problems
    assert str(problem) == (
        "buildings/depot/huge.yaml:1:1: error[file-too-large]: the file has 5,000,001 bytes, at "
        "most 5,000,000 are read; split it; files below the building folder are merged"
    )


def test_two_building_folders_may_not_differ_in_case_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("Depot", "depot"):
        tmp_path.joinpath("buildings", name).mkdir(parents=True)
        file = tmp_path.joinpath("buildings", name, "building.yaml")
        file.write_text("building: {name: Depot}\n")
    monkeypatch.chdir(tmp_path)
    (problem,) = load_records(Path("buildings")).problems
    assert str(problem) == (
        'buildings/depot:1:1: error[duplicate-tag]: the building "depot" differs from "Depot" in '
        "case only (see buildings/Depot:1:1); rename one folder"
    )
