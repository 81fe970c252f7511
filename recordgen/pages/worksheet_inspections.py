"""Worksheets for inspections: of a lockout sheet, and of a panel's directory.

What an inspection of a lockout sheet has to hold is 29 CFR 1910.147(c)(6)(i) and (ii), in our own
words; (i) and (i)(A) were read, the rest is from memory: check it against the standard in force.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from recordgen.evidence.due import inspections_due, of_building
from recordgen.pages.shortened import Shortened, shortened
from recordgen.pages.view import View
from recordgen.pages.worksheet_parts import GAP, Sheet, blanks
from recordgen.pages.worksheet_wording import SAFETY
from recordgen.records.field import Inspection

KEYS: Final = ("kind", "of", "date", "by", "employees", "found", "next_due")
_DUE_SHOWN: Final = 10


@dataclass(frozen=True)
class Question:
    """What is looked at, and the paragraph that asks for it."""

    text: str
    cites: str


LOCKOUT_QUESTIONS: Final = (
    Question(
        "The inspector is authorized for lockout and does not work by this sheet.",
        "1910.147(c)(6)(i)(A)",
    ),
    Question(
        "The printed sheet is the one in force: its revision is that of the site today.",
        "common practice",
    ),
    Question(
        "Every source, lock point and stored energy at the machine is on the sheet, and nothing on "
        "the sheet is missing at the machine.",
        "1910.147(c)(6)(i)",
    ),
    Question(
        "The steps were watched from the first to the last: told, stopped, opened, locked, "
        "discharged, tried, tested dead, restored.",
        "1910.147(c)(6)(i)",
    ),
    Question(
        "With each employee who works by it, their responsibilities under the sheet were gone "
        "through.",
        "1910.147(c)(6)(i)(C)",
    ),
    Question(
        "Where a tag is used without a lock: with everyone affected too, and what a tag cannot do.",
        "1910.147(c)(6)(i)(D), (c)(7)(ii)",
    ),
    Question(
        "What differs or falls short is put right, or the sheet is withdrawn until it is.",
        "1910.147(c)(6)(i)(B)",
    ),
    Question(
        "Certified: machine or equipment, date, employees included, inspector.",
        "1910.147(c)(6)(ii)",
    ),
)


def inspection_sheet(kind: str, of: str = "") -> Sheet:
    """Return what a worksheet for an inspection holds besides its questions.

    Parameters
    ----------
    kind : str
        Of inspection.
    of : str
        What is inspected, where that is known before.
    """
    known = {"kind": kind, "of": of}
    walk = kind == "directory walk-through"
    keys = [key for key in KEYS if not (walk and key == "employees")]
    # Who was asked stands in a table, each with a signature.
    cut = keys.index("found") if walk else keys.index("employees")
    hints = {"found": "what differs, in a sentence or two"}
    lines = ["inspections:", f"  {GAP}:"]
    for key in keys:
        value = known.get(key) or GAP
        lines.append(f"    {key}: {f'[{value}]' if key in ('of', 'employees') else value}")
    return Sheet(
        safety=SAFETY[kind],
        how=(),
        otherwise=(),
        head=blanks(Inspection, keys[:cut], known, {}),
        tail=blanks(Inspection, (key for key in keys[cut:] if key != "employees"), {}, hints),
        instruments=(),
        testers=(),
        yaml=tuple(lines),
        command="",
    )


def lockout_sheets_due(view: View, building: str) -> Shortened[tuple[str, str]]:
    """Return lockout sheets to inspect, the most urgent first: what, and until when."""
    due = of_building(inspections_due(view.portfolio.buildings, view.portfolio.as_of), building)
    found = [
        (", ".join(view.name(tag, building) for tag in each.subjects), f"{each.state}, {each.due}")
        for each in due
        if each.kind == "lockout sheet" and each.due
    ]
    return shortened(found, len(found), _DUE_SHOWN)
