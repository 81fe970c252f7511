"""Tables as CSV files (RFC 4180) that a spreadsheet takes for text and numbers alone."""

from __future__ import annotations

import csv
import io
import unicodedata
from collections.abc import Iterable, Sequence
from typing import Final

Cell = str | int | float
BYTE_ORDER_MARK: Final = "\ufeff"
"""Without it, spreadsheets take UTF-8 for something else and spoil every Ω and °."""
# What a spreadsheet may take for the start of a formula, in narrow and in wide letters.
_FORMULA: Final = ("=", "+", "-", "@", "＝", "＋", "－", "＠")
_CONTROL: Final = ("\t", "\r", "\n")


def csv_text(columns: Sequence[str], rows: Iterable[Sequence[Cell]]) -> str:
    r"""Return a table as the text of a CSV file.

    Parameters
    ----------
    columns : sequence of str
        Names of the columns, with units in them.
    rows : iterable of sequence of str, int or float
        As long as the columns.

    Returns
    -------
    str
        With a byte order mark, a head line, and lines that end in CR LF. A text that a spreadsheet
        could take for a formula has an apostrophe before it.

    Raises
    ------
    ValueError
        A row is not as long as the columns.

    Examples
    --------
    >>> csv_text(["what", "days_d"], [["=1+1", 3]])
    "\ufeffwhat,days_d\r\n'=1+1,3\r\n"
    """
    written = io.StringIO()
    writer = csv.writer(written, lineterminator="\r\n")
    writer.writerow(columns)
    for row in rows:
        if len(row) != len(columns):
            raise ValueError(f"{len(row)} cells in {len(columns)} columns")
        writer.writerow([plain_text(cell) if isinstance(cell, str) else cell for cell in row])
    return BYTE_ORDER_MARK + written.getvalue()


def plain_text(text: str) -> str:
    """Return a text that no spreadsheet takes for a formula.

    Examples
    --------
    >>> plain_text("=HYPERLINK(1)"), plain_text(" +1"), plain_text("2026-01-01 - dry")
    ("'=HYPERLINK(1)", "' +1", '2026-01-01 - dry')
    """
    # What is not seen, such as a space or a mark of direction, is passed over by some programs.
    seen = text.lstrip("".join({c for c in text if not _is_seen(c)}))
    starts = text.startswith(_CONTROL) or seen.startswith(_FORMULA)
    return f"'{text}" if starts else text


def _is_seen(character: str) -> bool:
    return unicodedata.category(character)[0] not in "ZC"
