"""What worksheets for traces ask for, whatever they are made out for."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Final

from recordgen.pages.view import View
from recordgen.pages.worksheet_parts import (
    GAP,
    PROVING,
    Sheet,
    blanks,
    choices,
    instruments,
    trace_yaml,
)
from recordgen.pages.worksheet_wording import ALONG, CONNECTION, HOW, SAFETY
from recordgen.records.field import Trace

_HEAD: Final = ("date", "by", "instrument", "purpose", "connection")
_ALONG_KEYS: Final = (*_HEAD, "circuit", "cable", "run", "transmitter_at", "readings")
_LAST: Final = ("photos", "notes")
KEYS: Final[Mapping[str, tuple[str, ...]]] = {
    "identify the breaker": (
        *_HEAD,
        "load",
        "readings",
        "found",
        "conclusion",
        "concluded_circuit",
        "confirmed_by_opening",
        *_LAST,
    ),
    "list what is downstream": (
        *_HEAD,
        "circuit",
        "readings",
        "found",
        "conclusion",
        "confirmed_by_opening",
        *_LAST,
    ),
    "follow a run": (*_ALONG_KEYS, "conclusion", *_LAST),
    "follow an underground cable": (*_ALONG_KEYS, "conclusion", *_LAST),
    "locate an open": (*_ALONG_KEYS, "echo", "conclusion", *_LAST),
    "locate a ground fault": (*_ALONG_KEYS, "bridge", "conclusion", *_LAST),
    "locate a short": (*_ALONG_KEYS, "echo", "bridge", "conclusion", *_LAST),
    "along a run": (*_ALONG_KEYS, "echo", "bridge", "conclusion", *_LAST),
    "sort a bundle": (*_HEAD, "cable", "readings", "conclusion", "concluded_cable", *_LAST),
}
"""Purpose → the keys of its trace that a sheet asks for, in the order of the record."""

_MEASURING: Final = frozenset(
    {
        "tracer",
        "insulation tester",
        "multimeter",
        "low-resistance ohmmeter",
        "reflectometer",
        "cable bridge",
    }
)
KINDS: Final[Mapping[str, Collection[str]]] = {
    "identify the breaker": ("tracer",),
    "list what is downstream": ("tracer",),
    "follow a run": ("tracer",),
    "follow an underground cable": ("tracer",),
    "locate an open": _MEASURING,
    "locate a ground fault": _MEASURING,
    "locate a short": _MEASURING,
    "along a run": _MEASURING,
    "sort a bundle": ("tracer", "cable tester"),
}
"""Purpose → kinds of instruments that it is done with."""


def trace_sheet(
    view: View,
    building: str,
    purpose: str,
    *,
    known: Mapping[str, str] | None = None,
    in_table: Collection[str] = ("readings", "echo", "bridge"),
    without: Collection[str] = (),
    readings: Collection[str] = (f"at: {GAP}, values: {GAP}, sensitivity: {GAP}, note: {GAP}",),
) -> Sheet:
    """Return what a worksheet for a trace holds besides its tables.

    Parameters
    ----------
    view : View
    building : str
    purpose : str
        Of a trace, or "along a run" for a sheet that serves all of those.
    known : mapping of str to str
        Key → what is known before.
    in_table : collection of str
        Keys that the tables of the sheet ask for.
    without : collection of str
        Keys that this sheet has no use for.
    readings : collection of str
        Readings as the YAML has them, without their braces.
    """
    known = dict(known or {})
    if purpose in choices(Trace, "purpose"):
        known["purpose"] = purpose
    keys = tuple(key for key in KEYS[purpose] if key not in without)
    cut = min(keys.index(key) for key in in_table if key in keys)
    hints = {"connection": CONNECTION[purpose]}
    allowed = {}
    if purpose == "along a run":
        allowed["purpose"] = ALONG
        hints["purpose"] = "tick one; readings for another purpose want a sheet of their own"
    records = view.loaded(building).records
    day = view.portfolio.as_of
    how, otherwise = HOW[purpose]
    return Sheet(
        safety=SAFETY[purpose],
        how=how,
        otherwise=otherwise,
        head=blanks(Trace, keys[:cut], known, hints, allowed),
        tail=blanks(Trace, (key for key in keys[cut:] if key not in in_table), known, hints),
        instruments=instruments(records, KINDS[purpose], day),
        testers=instruments(records, PROVING, day),
        yaml=trace_yaml(keys, known, readings),
        command=f"recordgen record trace {building}",
    )
