"""Every case worked elsewhere, and every slip seen in print, is held by a test that names it.

data/case_ledger.csv lists them: V voltage drop, F faults, C conductors, L loads, P panels, T01 to
T08 finding faults, I the IEC's rules, D dates; T1 to T15 are traps, wrong values that stand on
public pages. What an id is not named in, nobody would miss when it goes.
"""

import ast
import csv
import re
from collections import Counter
from functools import cache
from pathlib import Path

import pytest

from tests.calc.worked_cases import CASES, DATA

TESTS = Path(__file__).parents[1]
LEDGER = list(csv.DictReader((DATA / "case_ledger.csv").read_text("utf-8").splitlines()))


@cache
def judging_tests(module: str) -> tuple[str, ...]:
    """Return the source of each test function that can fail, decorators and comments included."""
    text = (TESTS / module).read_text("utf-8")
    lines = text.splitlines()
    found = []
    for node in ast.parse(text).body:
        if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
            first = min([node.lineno, *(decorator.lineno for decorator in node.decorator_list)])
            source = "\n".join(lines[first - 1 : node.end_lineno])
            asserts = any(isinstance(inner, ast.Assert) for inner in ast.walk(node))
            if asserts or "pytest.raises" in source:
                found.append(source)
    return tuple(found)


def judges_of(case: str, module: str) -> list[str]:
    return [source for source in judging_tests(module) if re.search(rf"\b{case}\b", source)]


@pytest.mark.parametrize("row", LEDGER, ids=lambda row: row["id"])
def test_every_id_is_named_in_a_test_that_can_fail(row: dict[str, str]) -> None:
    assert row["what"]
    assert row["source"]
    assert row["provenance"]
    assert judges_of(row["id"], row["held_by"]), f"{row['held_by']} does not name {row['id']}"


def test_the_ledger_is_whole() -> None:
    ids = [row["id"] for row in LEDGER]
    assert len(set(ids)) == len(ids)
    traps = [name for name in ids if re.fullmatch(r"T[1-9]\d?", name)]
    assert traps == [f"T{number}" for number in range(1, 16)]
    areas = Counter(name[0] for name in ids if name not in traps)
    assert areas == {"C": 10, "V": 6, "F": 10, "L": 12, "P": 6, "T": 6, "I": 4, "D": 1}


def test_a_case_carries_its_source_in_its_file_and_in_the_ledger() -> None:
    listed = {row["id"]: row for row in LEDGER if row["id"] in CASES}
    assert len(listed) == len(CASES) == 55
    for name, case in CASES.items():
        for column in ("source", "provenance"):
            assert listed[name][column] == case[column], name


def test_a_disagreement_is_explained_where_it_is_tested() -> None:
    disagreed = [row for row in LEDGER if "disagreed" in row["remark"]]
    assert [row["id"] for row in disagreed] == ["F04", "L02"]
    for row in disagreed:
        found = judges_of(row["id"], row["held_by"])
        assert any("disagreed" in source.lower() for source in found)


def test_the_check_wants_the_whole_id_in_a_test_with_an_assertion() -> None:
    assert not judges_of("T0", "calc/test_murray_loop.py")  # T01 is another id
    assert not judges_of("other_cases", "calc/test_panel_cases.py")  # stands above the tests only
    assert not judges_of("DATA", "calc/worked_cases.py")  # holds no test
