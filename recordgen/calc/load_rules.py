"""Rules for loads that are one number: factors and limits, by edition of the code."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal, get_args

from recordgen.calc.published import rows

Edition = Literal[2005, 2008, 2011, 2014, 2017, 2020, 2023]
"""Editions of the NEC that the tables for loads cover."""

EDITIONS: Final[tuple[Edition, ...]] = get_args(Edition)


@dataclass(frozen=True)
class LoadRule:
    """One number of the code: its value, its unit and the clause that holds it."""

    value: float
    unit: str
    clause: str

    @property
    def share(self) -> float:
        """The value of a percentage as a factor: 1.25 for 125 %."""
        return self.value / 100


def load_rule(name: str, edition: int) -> LoadRule | None:
    """Return a rule as an edition has it; None where that edition does not have it.

    Parameters
    ----------
    name : str
        Name of the rule, as in the table `load_rules`.
    edition : int
        Edition of the NEC [year].

    Raises
    ------
    ValueError
        No table covers that edition.
    KeyError
        No edition has a rule of that name.

    Notes
    -----
    NEC 2005 to 2023; each row names its clause. Values are from memory but for the 125 % of
    continuous load and of the largest motor, which were read in examples of Annex D.

    Examples
    --------
    >>> load_rule("continuous load", 2020)
    LoadRule(value=125.0, unit='percent', clause='215.2(A)(1)')
    >>> load_rule("least vehicle charger", 2017)
    """
    if edition not in EDITIONS:
        known = ", ".join(map(str, EDITIONS))
        raise ValueError(f"edition {edition}: the tables for loads cover {known}")
    found = [row for row in rows("load_rules") if row["rule"] == name]
    if not found:
        raise KeyError(name)
    for row in found:
        if int(row["edition_from"]) <= edition <= int(row["edition_to"]):
            return LoadRule(float(row["value"]), row["unit"], row["clause"])
    return None


def rule_of(name: str, edition: int) -> LoadRule:
    """Return a rule that the edition has to have for the question to make sense.

    Parameters
    ----------
    name : str
        Name of the rule, as in the table `load_rules`.
    edition : int
        Edition of the NEC [year].

    Raises
    ------
    ValueError
        The edition does not have it, or no table covers that edition.
    KeyError
        No edition has a rule of that name.

    Notes
    -----
    NEC 2005 to 2023, as `load_rule`.

    Examples
    --------
    >>> rule_of("largest motor", 2014).share
    1.25
    """
    rule = load_rule(name, edition)
    if rule is None:
        raise ValueError(f'edition {edition} has no rule "{name}" that the tables know')
    return rule
