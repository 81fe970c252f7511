"""Ampacity of conductors, step by step, as far as their terminals allow."""

from __future__ import annotations

import math
from dataclasses import dataclass

from recordgen.calc.ampacity_factors import adjustment_factor, temperature_factor
from recordgen.calc.code_limits import code_limit
from recordgen.calc.conductor_area import circular_mils, metal_column, row_of_size
from recordgen.calc.insulation_column import ColumnC, known_column
from recordgen.calc.published import rows
from recordgen.records.conductor_size import ConductorSize, read_conductor_size


@dataclass(frozen=True)
class AllowableAmpacity:
    """The ampacity of a set of conductors, step by step.

    Attributes
    ----------
    table_a : float
        Ampacity of one conductor in the column of its insulation [A].
    temperature_factor : float
        For the ambient temperature.
    adjustment_factor : float
        For the number of current-carrying conductors.
    parallel : int
        Conductors in parallel per phase.
    corrected_a : float
        Product of the four above [A].
    terminal_limit_a : float
        Table ampacity in the column of the terminals, of all in parallel, uncorrected [A].
    allowable_a : float
        The lower of the last two [A].
    """

    table_a: float
    temperature_factor: float
    adjustment_factor: float
    parallel: int
    corrected_a: float
    terminal_limit_a: float
    allowable_a: float

    @property
    def limited_by_terminals(self) -> bool:
        """Whether the terminals govern, and not the conductor."""
        return self.terminal_limit_a < self.corrected_a


def table_ampacity_a(size: ConductorSize, column_c: ColumnC) -> float:
    """Return the ampacity of one conductor at 30 °C ambient [A].

    Parameters
    ----------
    size : ConductorSize
        14 AWG to 2000 kcmil copper, 12 AWG to 2000 kcmil aluminium.
    column_c : 60, 75 or 90
        Temperature rating of the column [°C].

    Returns
    -------
    float
        Ampacity [A].

    Raises
    ------
    ValueError
        The table has no such size, metal or column, or the metal is not recorded.

    Notes
    -----
    NEC table 310.16 (2014 edition: 310.15(B)(16)): up to 2000 V, not more than three
    current-carrying conductors in a raceway, cable or earth, 30 °C ambient.

    Examples
    --------
    >>> table_ampacity_a(ConductorSize("3/0", "AWG", "Cu"), 75)
    200.0
    """
    known_column(column_c)
    ampacity = row_of_size("conductor_ampacity", size)[f"{metal_column(size)}_{column_c}_c_a"]
    if not ampacity:
        raise ValueError(f"the table of ampacities has no {size}")
    return float(ampacity)


def corrected_ampacity_a(
    size: ConductorSize,
    column_c: ColumnC,
    ambient_c: float,
    current_carrying: int,
    parallel: int = 1,
) -> float:
    """Return the ampacity of a set of conductors, whatever its terminals stand [A].

    Parameters
    ----------
    size : ConductorSize
        Of one conductor, with its metal.
    column_c : 60, 75 or 90
        Column of the insulation [°C].
    ambient_c : float
        Ambient temperature [°C].
    current_carrying : int
        Conductors that carry current in one raceway.
    parallel : int
        Conductors in parallel per phase.

    Returns
    -------
    float
        Ampacity of all in parallel [A].

    Raises
    ------
    ValueError
        A table has no row for the inputs, or conductors in parallel are too small.

    Notes
    -----
    NEC 310.15: table ampacity × temperature factor × adjustment factor × conductors in parallel.
    The terminals may allow less: `allowable_ampacity`.

    Examples
    --------
    >>> round(corrected_ampacity_a(ConductorSize("3/0", "AWG", "Cu"), 75, 40, 3, parallel=2), 1)
    352.0
    """
    _check_parallel(size, parallel)
    factors = temperature_factor(column_c, ambient_c) * adjustment_factor(current_carrying)
    return table_ampacity_a(size, column_c) * factors * parallel


def allowable_ampacity(
    size: ConductorSize,
    insulation_c: ColumnC,
    terminal_c: ColumnC,
    ambient_c: float,
    current_carrying: int,
    parallel: int = 1,
) -> AllowableAmpacity:
    """Return the ampacity of a set of conductors and each step to it.

    Parameters
    ----------
    size : ConductorSize
        Of one conductor, with its metal.
    insulation_c, terminal_c : 60, 75 or 90
        Column of the insulation, and of the coolest terminal at either end [°C].
    ambient_c : float
        Ambient temperature [°C].
    current_carrying : int
        Conductors that carry current in one raceway.
    parallel : int
        Conductors in parallel per phase.

    Returns
    -------
    AllowableAmpacity
        Steps and result.

    Raises
    ------
    ValueError
        A table has no row for the inputs, or conductors in parallel are too small.

    Notes
    -----
    NEC 310.15 for the conductor, 110.14(C) for the terminals, 310.10(G) (2014 edition: 310.10(H))
    for conductors in parallel: 1/0 AWG and larger only. The exceptions of 310.10(G) for small
    control circuits and old neutrals are left out.

    Examples
    --------
    Nine current-carrying 12 AWG conductors at 45 °C, terminals for 60 °C:

    >>> answer = allowable_ampacity(ConductorSize("12", "AWG", "Cu"), 90, 60, 45, 9)
    >>> answer.table_a, answer.temperature_factor, answer.adjustment_factor
    (30.0, 0.87, 0.7)
    >>> round(answer.corrected_a, 2), answer.terminal_limit_a, round(answer.allowable_a, 2)
    (18.27, 20.0, 18.27)
    """
    corrected_a = corrected_ampacity_a(size, insulation_c, ambient_c, current_carrying, parallel)
    terminal_limit_a = table_ampacity_a(size, terminal_c) * parallel
    return AllowableAmpacity(
        table_a=table_ampacity_a(size, insulation_c),
        temperature_factor=temperature_factor(insulation_c, ambient_c),
        adjustment_factor=adjustment_factor(current_carrying),
        parallel=parallel,
        corrected_a=corrected_a,
        terminal_limit_a=terminal_limit_a,
        allowable_a=min(corrected_a, terminal_limit_a),
    )


def unmarked_terminal_c(circuit_a: float) -> ColumnC:
    """Return the temperature that terminals have where nothing says they have more [°C].

    Parameters
    ----------
    circuit_a : float
        Rating of the circuit [A].

    Returns
    -------
    60 or 75
        Column for the terminals [°C].

    Raises
    ------
    ValueError
        The rating is not above zero.

    Notes
    -----
    NEC 110.14(C)(1), from memory: 60 °C for circuits of 100 A or less, 75 °C above. Most terminals
    made today are marked 75 °C, so a page that leans on this says that it is assumed.

    Examples
    --------
    >>> unmarked_terminal_c(100), unmarked_terminal_c(125)
    (60, 75)
    """
    if not circuit_a > 0:
        raise ValueError(f"a rating of {circuit_a:g} A cannot be")
    for row in rows("unmarked_terminals"):
        if circuit_a <= float(row["circuit_up_to_a"] or math.inf):
            return known_column(int(row["terminal_c"]))
    raise ValueError(f"no temperature of terminals for {circuit_a:g} A")


def _check_parallel(size: ConductorSize, parallel: int) -> None:
    if parallel < 1:
        raise ValueError(f"{parallel} conductors in parallel cannot be")
    smallest = read_conductor_size(code_limit("parallel_smallest_size"))
    if parallel > 1 and circular_mils(size) < circular_mils(smallest):
        raise ValueError(f"{size} is smaller than {smallest}, the smallest in parallel: 310.10(G)")
