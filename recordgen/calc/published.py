"""Published tables, as CSV files beside this module, and where each comes from."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Final

Row = Mapping[str, str]

_FOLDER: Final = files("recordgen.calc") / "tables"


@dataclass(frozen=True)
class TableSource:
    """Where a table comes from.

    Attributes
    ----------
    table : str
        Name of the CSV file, without its ending.
    title : str
        What it holds.
    edition : str
        Standard, edition and number of the table.
    obtained : str
        How the values came here.
    checked : str
        What they were held against; empty where nobody has checked them, and pages say so.
    """

    table: str
    title: str
    edition: str
    obtained: str
    checked: str


@cache
def rows(table: str) -> tuple[Row, ...]:
    """Return the rows of a table, column name → text, in order of the file.

    Raises
    ------
    FileNotFoundError
        There is no such table.
    """
    text = (_FOLDER / f"{table}.csv").read_text("utf-8")
    return tuple(csv.DictReader(text.splitlines()))


@cache
def sources() -> Mapping[str, TableSource]:
    """Return table → where it comes from, for every table."""
    return {row["table"]: TableSource(**row) for row in rows("sources")}
