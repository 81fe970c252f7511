"""Runs the examples that stand in the docstrings of the checks, inside a house that is fine."""

import re
from pathlib import Path
from types import ModuleType

from recordgen.checks.facts import Facts
from recordgen.portfolio import Portfolio
from recordgen.problems import Problem
from tests.network.asking import AS_OF, portfolio

PANEL = "kind: panelboard, lockable: yes, main: lugs"
MSB = f"MSB: {{{PANEL}, fed_from: UTIL, circuits: {{5: {{device: 60 A, loads: none}}}}}}"


def examples(module: ModuleType, word: str) -> list[str]:
    """Return the records in the line of a docstring that begins with a word."""
    assert module.__doc__ is not None
    line = next(line for line in module.__doc__.splitlines() if line.startswith(f"{word}:"))
    return re.findall(r"`([^`]+)`", line)


def with_circuit(circuit: str) -> str:
    """Return records whose only circuit worth a word stands in line 7, from column 7."""
    return (
        "sources: {UTIL: {kind: utility}}\n"
        "panels:\n"
        "  LP-1:\n"
        f"    {{{PANEL}, fed_from: UTIL, circuits: {{\n"
        f"      {circuit}\n"
        "    }}\n"
    )


def with_section(section: str) -> str:
    """Return records with a section from an example; what it refers to is there."""
    name, _, rest = section.partition(": {")
    feeding = ["A", "B"] if name == "loads" else []
    panels = "".join(
        f", {tag}: {{{PANEL}, fed_from: UTIL, circuits: {{1: {{device: 20 A}}}}}}"
        for tag in feeding
    )
    records = "sources: {UTIL: {kind: utility}}\n"
    if name == "panels":
        return f"{records}panels: {{{MSB},\n  {rest}\n"
    return f"{records}panels: {{{MSB}{panels}}}\n{section}\n"


def facts(found: Portfolio) -> Facts:
    return Facts(
        found.buildings,
        found.network,
        found.grades,
        found.study,
        AS_OF,
        found.trace_verdicts,
        found.edge_grades,
    )


def found_by(module: ModuleType, folder: Path, text: str) -> list[Problem]:
    return list(module.check(facts(portfolio(folder, text))))


def told(problems: list[Problem]) -> list[tuple[int, int, str, str]]:
    """Return line, column, severity and code of each."""
    return [(p.location.line, p.location.column, p.severity, p.code) for p in problems]
