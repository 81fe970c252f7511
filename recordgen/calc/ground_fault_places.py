"""Where receptacles have ground-fault protection for people, other than in dwellings."""

from __future__ import annotations

from recordgen.calc.load_rules import EDITIONS, Edition
from recordgen.calc.published import rows


def ground_fault_clause(place: str, edition: Edition) -> str | None:
    """Return the clause that asks for protection in a place; None where the edition has none.

    Parameters
    ----------
    place : str
        One of the places of the table `ground_fault_places`.
    edition : int
        Edition of the NEC [year], 2005 to 2023.

    Returns
    -------
    str or None

    Raises
    ------
    ValueError
        There is no such place in the table.

    Notes
    -----
    NEC 210.8(B), from memory; later editions asked for more places. A kitchen is one of an
    institution or a business, and from 2020 any area with a sink and a place to prepare food.
    Garages and service bays are meant where tools and lamps are used. Exceptions, as for snow
    melting on a roof and for patient bed locations, are not in it.

    Examples
    --------
    >>> ground_fault_clause("laundry", 2020)
    '210.8(B)'
    >>> ground_fault_clause("laundry", 2017)
    """
    found = {row["place"]: row for row in rows("ground_fault_places")}
    if place not in found:
        raise ValueError(f'"{place}" is none of the places: {", ".join(found)}')
    row = found[place]
    return row["clause"] if edition >= int(row["edition_from"]) else None


def ground_fault_circuit(
    phases: int, to_ground_v: float, between_lines_v: float | None, device_a: float, edition: int
) -> bool:
    """Say whether the rule is for receptacles of such a circuit.

    Parameters
    ----------
    phases : int
        1 for one or two poles, 3 for three.
    to_ground_v : float
        The highest voltage of a conductor to ground [V].
    between_lines_v : float or None
        Between ungrounded conductors [V]; None of one pole.
    device_a : float
        Rating of the branch circuit [A].
    edition : int
        Edition of the NEC [year], 2005 to 2023.

    Returns
    -------
    bool

    Raises
    ------
    ValueError
        No table covers the edition.

    Notes
    -----
    NEC 210.8(B), from memory: up to 2014 receptacles of 125 V and 15 and 20 A, since 2017 up to
    150 V to ground and 50 A single-phase or 100 A three-phase.

    Examples
    --------
    >>> ground_fault_circuit(1, 120, 240, 40, 2020), ground_fault_circuit(1, 120, 240, 40, 2014)
    (True, False)
    """
    if edition not in EDITIONS:
        raise ValueError(f"edition {edition}: the table covers {', '.join(map(str, EDITIONS))}")
    for row in rows("ground_fault_circuits"):
        if int(row["phases"]) != phases:
            continue
        if int(row["edition_from"]) <= edition <= int(row["edition_to"]):
            lines = row["between_lines_up_to_v"]
            return (
                to_ground_v <= float(row["to_ground_up_to_v"])
                and device_a <= float(row["device_up_to_a"])
                and not (lines and between_lines_v is not None and between_lines_v > float(lines))
            )
    return False
