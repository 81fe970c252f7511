"""What a raceway is made of, read from the words of a record."""

from __future__ import annotations

import re
from typing import Final, Literal

RacewayMaterial = Literal["steel", "aluminum", "PVC"]

_OPEN: Final = (
    r"(?:fmc|lfmc|mc|ac(?= cable|,|$)|flex|flexible|wireway|gutter|trough|tray|busway"
    r"|free air|open air)"
)
# A metal's name counts only where it says what the raceway is made of: "aluminum conduit", "MC
# cable, steel", not "aluminum conductors in EMT" and not "along the steel beam".
_NAMED_METAL: Final = re.compile(
    rf"(?:\b{_OPEN}\b(?: cable)?[, (]+)?"
    r"\b(?P<metal>galvani[sz]ed(?: steel)?|steel|alumini?um)(?:[- ]armou?red)?"
    r"(?:\s*(?:$|[,;:.)(])|\s+(?:(?:rigid|flexible|electrical|metal|metallic) )*"
    r"(?:conduit|tubing|tube|pipe|raceway|wireway|duct|sleeve|mast|armou?r|emt|rmc|imc|grc|fmc"
    r"|lfmc|mc|flex)s?\b)"
)
_COVERING: Final = re.compile(r"\bpvc[- ](?:coated|jacketed|sheathed|insulated|covered)\b")
# Magnetic steel unless the record says that they are aluminium; conduit of both kinds is made.
_STEEL_TYPES: Final = re.compile(r"\b(?:emt|rmc|imc|grc)\b")
_PLASTIC: Final = re.compile(
    r"\b(?:pvc|hdpe|ent|lfnc|nmc?(?:-b)?|non-?metallic)\b(?![- ](?:wire|conductor|tape))"
)
# Made of several metals or none, or no raceway, or not magnetic: nothing here tells the column,
# and beside a raceway that would, they say that it is not the whole way.
_UNDECIDED: Final = re.compile(rf"\b(?:{_OPEN}|stainless|brass)\b")
_DOUBT: Final = re.compile(r"\?|\b(?:or|not|no|unknown|unsure|maybe|perhaps|probably)\b")


def raceway_material(text: str) -> RacewayMaterial | None:
    """Return what a recorded raceway is made of, or None where its words do not say.

    Parameters
    ----------
    text : str
        A raceway as people write it.

    Returns
    -------
    "steel", "aluminum", "PVC" or None
        The column of the impedance table. `PVC` stands for every raceway that is not of metal.

    Notes
    -----
    EMT, RMC, IMC and GRC are taken as steel, as is common practice, unless aluminium is written.
    PVC, HDPE, ENT, LFNC and cable with a nonmetallic sheath (NM) have the column `PVC`. Flexible
    metal conduit and metal-clad cable come in steel and in aluminium: None unless written. Several
    materials on the way, or words of doubt: None. Nothing is assumed where None comes back.

    Examples
    --------
    >>> raceway_material("3/4 in EMT")
    'steel'
    >>> raceway_material("three 3 in PVC, in the ground")
    'PVC'
    >>> raceway_material("MC cable") is None
    True
    """
    words = _COVERING.sub(" ", text.lower())
    if _DOUBT.search(words):
        return None
    materials: set[RacewayMaterial] = {
        "aluminum" if named["metal"].startswith("alum") else "steel"
        for named in _NAMED_METAL.finditer(words)
    }
    rest = _NAMED_METAL.sub(" ", words)
    if _STEEL_TYPES.search(rest):
        materials.add("steel")
    if _PLASTIC.search(rest):
        materials.add("PVC")
    if len(materials) != 1 or _UNDECIDED.search(rest):
        return None
    return materials.pop()
