"""Which edition of the electrical code a building's records are held against."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import Final

from recordgen.calc.answer import Need, NoValue
from recordgen.calc.load_rules import EDITIONS, Edition
from recordgen.records.building import Building

_NAMED: Final = re.compile(r"\bNEC\s+((?:19|20)\d\d)\b", re.IGNORECASE)
_SHAPE: Final = 'write it like "NEC 2020"'


def edition_of(building: Building, tag: str) -> Edition | NoValue:
    """Return the edition of the tables that holds for a building.

    Parameters
    ----------
    building : Building
        Its record.
    tag : str
        Id of the building, for what is said to be missing.

    Returns
    -------
    int or NoValue
        Year of the last edition in the tables that is not later than the first "NEC YYYY" in
        `code_edition`; NoValue where nothing is recorded, where no such words are in it, or where
        that edition is older than the tables.

    Notes
    -----
    The code comes out every third year; a year between two editions means the earlier of them, and
    a later one than the tables have means their last: the page names the edition it used.

    Examples
    --------
    >>> edition_of(Building(name="House", code_edition="NEC 2021 as adopted"), "house")
    2020
    >>> str(edition_of(Building(name="House"), "house").needs[0])
    'building, code_edition: not recorded'
    """
    return _edition(building.code_edition, tag)


@lru_cache(maxsize=1024)
def _edition(text: str | None, tag: str) -> Edition | NoValue:
    if text is None:
        return _none(tag, "")
    named = _NAMED.search(text)
    if named is None:
        return _none(tag, f'"{text}" names no edition of the NEC; {_SHAPE}')
    year = int(named[1])
    earlier = [edition for edition in EDITIONS if edition <= year]
    if not earlier:
        return _none(tag, f"the tables begin with the edition of {EDITIONS[0]}, not with {year}")
    return earlier[-1]


def _none(tag: str, why: str) -> NoValue:
    return NoValue((Need(f"{tag}:building", "code_edition", why),))
