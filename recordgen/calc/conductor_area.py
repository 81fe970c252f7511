"""Cross-section of a conductor, and the row that a table has for it."""

from __future__ import annotations

import math
from typing import Final

from recordgen.calc.published import Row, rows
from recordgen.records.conductor_size import ConductorSize

_MM_PER_MIL: Final = 0.0254
_MM2_PER_CIRCULAR_MIL: Final = math.pi / 4 * _MM_PER_MIL**2


def size_in_tables(size: ConductorSize) -> str:
    """Return the size as the tables here write it, without its metal.

    Parameters
    ----------
    size : ConductorSize
        AWG or kcmil.

    Returns
    -------
    str
        `12 AWG`, `3/0 AWG`, `250 kcmil`.

    Raises
    ------
    ValueError
        The size is in square millimetres, which the tables do not list.

    Notes
    -----
    Square millimetres are not turned into the nearest gauge: the tables hold for their own sizes.

    Examples
    --------
    >>> size_in_tables(ConductorSize("250", "kcmil", "Cu"))
    '250 kcmil'
    """
    if size.unit == "mm2":
        raise ValueError(f"{size} is not in the tables, which list AWG and kcmil")
    number = f"{float(size.number):g}" if size.unit == "kcmil" else size.number
    return f"{number} {size.unit}"


def row_of_size(table: str, size: ConductorSize) -> Row:
    """Return the row of a table whose column `size` is this size.

    Parameters
    ----------
    table : str
        Name of the table.
    size : ConductorSize
        AWG or kcmil.

    Returns
    -------
    Row
        Column name → text.

    Raises
    ------
    ValueError
        The table does not list the size.

    Notes
    -----
    No row between two rows is made up.

    Examples
    --------
    >>> row_of_size("conductor_ampacity", ConductorSize("3/0", "AWG", "Cu"))["cu_75_c_a"]
    '200'
    """
    wanted = size_in_tables(size)
    for row in rows(table):
        if row["size"] == wanted:
            return row
    raise ValueError(f"{wanted} is not in the table {table}")


def metal_column(size: ConductorSize) -> str:
    """Return the first part of the names of columns for the metal of a conductor.

    Parameters
    ----------
    size : ConductorSize
        With its metal.

    Returns
    -------
    str
        `cu` or `al`.

    Raises
    ------
    ValueError
        The metal is not recorded.

    Notes
    -----
    Copper is not assumed: aluminium of the same size carries less.

    Examples
    --------
    >>> metal_column(ConductorSize("4/0", "AWG", "Al"))
    'al'
    """
    if size.metal is None:
        raise ValueError(f"the metal of the {size} conductor is not recorded")
    return size.metal.lower()


def circular_mils(size: ConductorSize) -> float:
    """Return the cross-section of a conductor [circular mils].

    Parameters
    ----------
    size : ConductorSize
        AWG, kcmil or mm2; the metal does not matter.

    Returns
    -------
    float
        Area [circular mils].

    Notes
    -----
    kcmil are thousands of circular mils. Gauges: the figure of NEC chapter 9 table 8; for gauges
    that it does not list, the definition of ASTM B258, diameter 0.005 in × 92^((36 - n) / 39),
    with n = 0 for 1/0, -1 for 2/0 and so on. Square millimetres are converted as an area of
    metal; a nominal size of IEC 60228 is defined by its resistance and may hold a little less.

    Examples
    --------
    >>> circular_mils(ConductorSize("12", "AWG", "Cu"))
    6530.0
    >>> round(circular_mils(ConductorSize("16", "mm2", "Cu")), -1)
    31580.0
    """
    if size.unit == "kcmil":
        return 1000 * float(size.number)
    if size.unit == "mm2":
        return float(size.number) / _MM2_PER_CIRCULAR_MIL
    for row in rows("conductor_dc_resistance"):
        if row["size"] == size_in_tables(size):
            return float(row["area_circular_mils"])
    return gauge_circular_mils(size.number)


def gauge_circular_mils(number: str) -> float:
    """Return the area of a gauge by the definition of the American wire gauge [circular mils].

    Parameters
    ----------
    number : str
        `40` to `1`, `1/0` to `4/0`.

    Returns
    -------
    float
        Area [circular mils], not rounded.

    Notes
    -----
    ASTM B258: 36 AWG is 0.0050 in across, 4/0 AWG is 0.4600 in, and the 38 gauges between them
    grow by one ratio.

    Examples
    --------
    >>> round(gauge_circular_mils("4/0"))
    211600
    """
    zeros = number.partition("/0")
    steps = 1 - int(zeros[0]) if zeros[1] else int(number)
    diameter_mils = 5 * 92 ** ((36 - steps) / 39)
    return float(diameter_mils**2)


def area_mm2(size: ConductorSize) -> float:
    """Return the cross-section of a conductor [mm²].

    Parameters
    ----------
    size : ConductorSize
        AWG, kcmil or mm2; the metal does not matter.

    Returns
    -------
    float
        Area [mm²].

    Notes
    -----
    As `circular_mils`; a mil is 0.0254 mm by definition.

    Examples
    --------
    >>> round(area_mm2(ConductorSize("4/0", "AWG", "Cu")), 1)
    107.2
    """
    if size.unit == "mm2":
        return float(size.number)
    return circular_mils(size) * _MM2_PER_CIRCULAR_MIL
