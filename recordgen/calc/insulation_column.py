"""The ampacity column of a conductor's insulation, read from the words of a record."""

from __future__ import annotations

import re
from typing import Final, Literal, cast

from recordgen.calc.published import rows

ColumnC = Literal[60, 75, 90]

_FILLERS: Final = frozenset(("TYPE", "INSULATION", "INSULATED", "WIRE", "CABLE", "AND", "OR"))
_VOLTAGE: Final = re.compile(r"\b\d+ ?V\b")


def insulation_column_c(text: str) -> ColumnC | None:
    """Return the ampacity column of an insulation [°C], or None where its words do not say.

    Parameters
    ----------
    text : str
        Insulation as people write it, one type or several.

    Returns
    -------
    60, 75, 90 or None
        The column of the ampacity table [°C].

    Notes
    -----
    Types of NEC table 310.4(A), from memory. A type rated 75 °C wet and 90 °C dry has 75, for a
    record seldom says that a place is dry; of several types the lowest counts. THHN alone has 90:
    it is for dry and damp places only. NM and UF cable have 60 whatever their conductors are
    (334.80, 340.80). One word that is not understood makes the answer None.

    Examples
    --------
    >>> insulation_column_c("THWN-2"), insulation_column_c("XHHW"), insulation_column_c("THHN/THWN")
    (90, 75, 75)
    >>> insulation_column_c("cloth-covered rubber") is None
    True
    """
    words = re.split(r"[\s/,]+", _VOLTAGE.sub("", text.upper()).strip())
    columns = {row["type"]: int(row["column_c"]) for row in rows("insulation_types")}
    found = [word for word in words if word and word not in _FILLERS]
    if not found or any(word not in columns for word in found):
        return None
    return known_column(min(columns[word] for word in found))


def known_column(column_c: int) -> ColumnC:
    """Return a number as a column of the ampacity table.

    Parameters
    ----------
    column_c : int
        Temperature rating [°C].

    Returns
    -------
    60, 75 or 90
        The same.

    Raises
    ------
    ValueError
        There is no such column.

    Notes
    -----
    NEC table 310.16 has these three.

    Examples
    --------
    >>> known_column(75)
    75
    """
    if column_c not in (60, 75, 90):
        raise ValueError(f"{column_c} °C is no column of the table of ampacities: 60, 75 or 90 °C")
    return cast("ColumnC", column_c)
