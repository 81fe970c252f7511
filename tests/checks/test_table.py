"""The table of checks, the files of the checks and their tests name the same checks."""

from importlib import import_module
from pathlib import Path

import pytest

import recordgen.checks
from recordgen.checks.table import CHECKS

FRAME = {"__init__", "facts", "table"}


def test_the_table_names_every_file_once() -> None:
    folder = Path(recordgen.checks.__file__).parent
    assert {path.stem for path in folder.glob("*.py")} - FRAME == set(CHECKS)
    assert len(set(CHECKS.values())) == len(CHECKS)


@pytest.mark.parametrize("name", CHECKS)
def test_a_check_has_its_function_its_examples_and_its_tests(name: str) -> None:
    module = import_module(f"recordgen.checks.{name}")
    assert CHECKS[name] is module.check
    assert "\nPassing: " in module.__doc__
    assert "\nFailing: " in module.__doc__
    tests = Path(__file__).with_name(f"test_{name}.py").read_text(encoding="utf-8")
    assert "def test_the_passing_example" in tests
    assert "def test_the_failing_example" in tests
