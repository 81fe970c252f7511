"""What worksheets say besides the records: cautions, how to decide in the field, hints to blanks.

The figures are those that the program judges readings by, imported from there. Cautions are common
practice in our own words; of the paragraphs named beside them none was read for this, so they are
from memory: check them against the standard in force.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

from recordgen.evidence import breaker_readings, bundle_readings, downstream_readings
from recordgen.evidence.follow_run import PURPOSES as FOLLOW
from recordgen.evidence.run_places import DIGGING
from recordgen.evidence.run_readings import LEAST_PLACES
from recordgen.evidence.run_readings import PURPOSES as LOCATE
from recordgen.evidence.signals import TOP_OF_SCALE

ALONG: Final = (*FOLLOW, *LOCATE)
"""The purposes that one sheet of a run serves."""

NO_RECORD_PROVES: Final = (
    "What is printed here from the records is an aid and no proof. The local code, the authority "
    "having jurisdiction and licensed practice decide."
)
QUALIFIED: Final = (
    "Qualified persons only. Taking a cover off or reaching near live parts is energized work: "
    "justified, planned and with the protective equipment (PPE) that the owner's program asks for "
    "(29 CFR 1910.333(a), 1910.335; NFPA 70E; from memory)."
)
TEST: Final = (
    "Test before touch, every conductor. Prove the tester on a known live source or a proving unit "
    "before and after."
)
NO_PROOF: Final = "A tracer shows a signal and no voltage: no signal never means dead."
CATEGORY: Final = (
    "Instrument, leads and transmitter must bear a measurement category (CAT) and voltage for the "
    "place. No category recorded is no permission."
)
OPENING: Final = (
    "Before a breaker is opened, look up what goes dark and tell whom it touches "
    "(29 CFR 1910.147(c)(9), from memory)."
)
DEAD: Final = (
    "A transmitter on a dead conductor: lock out by the lockout sheet, test dead, discharge, join "
    "it, and keep everyone from touching or energizing the conductor meanwhile."
)
INSULATION: Final = (
    "Before an insulation test, disconnect what it could harm or feed back; discharge afterwards."
)
LOW_VOLTAGE: Final = (
    "A communication or alarm cable may carry voltage (ringing, powered devices, loudspeaker "
    "lines, a wrong connection): test it first."
)
ALARM: Final = "Fire alarm, nurse call, alarm lines: call whoever monitors them before, and after."
LOCKOUT: Final = (
    "Made safe means locked out by the lockout sheet, tagged and tested dead, not switched off."
)

_LIVE: Final = (QUALIFIED, TEST, NO_PROOF, CATEGORY, OPENING)
_ON_A_RUN: Final = (QUALIFIED, TEST, NO_PROOF, CATEGORY, DEAD)
SAFETY: Final[Mapping[str, tuple[str, ...]]] = {
    "identify the breaker": _LIVE,
    "list what is downstream": _LIVE,
    "follow a run": _ON_A_RUN,
    "locate an open": (*_ON_A_RUN, INSULATION),
    "locate a ground fault": (*_ON_A_RUN, INSULATION),
    "locate a short": (*_ON_A_RUN, INSULATION),
    "follow an underground cable": (DIGGING, *_ON_A_RUN),
    "sort a bundle": (LOW_VOLTAGE, ALARM, NO_PROOF, QUALIFIED),
    "along a run": (*_ON_A_RUN, INSULATION),
    "fault": (QUALIFIED, TEST, LOCKOUT, INSULATION),
    "lockout sheet": (QUALIFIED, TEST, "To inspect is to watch: operate nothing for the record."),
    "directory walk-through": (
        (
            "Read the directory with the doors shut and the covers on. What takes a cover off is "
            "another job."
        ),
        QUALIFIED,
    ),
}
"""Purpose → what to mind before starting."""

_TOP: Final = f"{TOP_OF_SCALE:g}"
_IDENTIFY: Final = (
    (
        "Read the cover of every panel that may feed the load, all at one sensitivity. Leave a "
        f"panel shut only if its cover reads {breaker_readings.COVER_FAR_BELOW:g} or more below "
        "that of the panel whose breakers are read."
    ),
    (
        "Read the breakers with the receiver held the same way, all at one sensitivity. Turn it "
        f"down until no more than one reads {_TOP}, the top of the scale, and read all again."
    ),
    (
        f"Read every breaker less than {breaker_readings.FAR_BELOW:g} below the highest in three "
        "orientations: flat, turned a quarter, on edge; all at one sensitivity. Skip none between "
        "two that are read, nor those beside the best."
    ),
    (
        "Work out for each: score = (lowest of the three + mean of the three) / 2; evenness = mean "
        "of its two weaker orientations / its strongest."
    ),
    (
        f"The best is the breaker only if its lowest is {breaker_readings.STRONG:g} or more, its "
        f"evenness {breaker_readings.EVEN:g} or more, its lead in score over every other one "
        f"{breaker_readings.LEAD:g} or more, and evenness + lead / score "
        f"{breaker_readings.STANDING:g} or more "
        f"({breaker_readings.STANDING_WITHOUT_COVERS:g} without the covers of its own panel and of "
        "another)."
    ),
)
_IDENTIFY_AMBIGUOUS: Final = (
    "Several at the top of the scale: lower the sensitivity, read again in three orientations.",
    (
        f"Scores less than {breaker_readings.LEAD:g} apart: read those again, then open them one "
        "by one where that may be done."
    ),
    (
        "No one strong and even, or standing out too little: the breaker may be among those not "
        "read. Read covers and breakers of other panels."
    ),
    "One that feeds a panel: the signal goes on; read the breakers of that panel.",
    "Readings only point. Opening it with the transmitter on, and the load going dead, confirms.",
)
_DOWNSTREAM: Final = (
    (
        "Join the transmitter to the circuit; look for its signal at every outlet, luminaire and "
        "machine around, not only where the record has one."
    ),
    (
        "Open the breaker where that may be done: what went dead is on it. Tick it, tick yes, "
        "strike out what stayed live."
    ),
    (
        "Where it may not be opened, take the empty sheet: read every load found and places off "
        "the circuit, at one sensitivity. A load counts only if it leads the strongest place off "
        f"the circuit by {downstream_readings.LEAD:g}."
    ),
)
_DOWNSTREAM_AMBIGUOUS: Final = (
    "Signal everywhere: lower the sensitivity, and read places off the circuit again.",
    "A shared neutral carries the signal to another circuit: only opening tells.",
)
_ALONG: Final = (
    (
        f"Read at {LEAST_PLACES} places or more, evenly, at every landmark and past the place "
        "suspected; in the order of the run."
    ),
    (
        "Leave the sensitivity alone while you can. Wherever it has to be changed, read once more "
        "at the same place with the new setting: write that into the second pair."
    ),
    f"A reading of {_TOP} is no value, only a bound: turn down until the start reads below it.",
)
_ALONG_AMBIGUOUS: Final = (
    "No clear drop does not prove the run sound: read from the other end, and between the places.",
    (
        "A drop may also be a bend, a deeper part or a metal conduit. Before anything is opened or "
        "dug up, read from the other end."
    ),
)
_BUNDLE: Final = (
    (
        "Put the transmitter on the cable looked for, at the end where it is known. Read every "
        "cable of the bundle at one sensitivity, each drawn a little out of the bundle."
    ),
    (
        f"It is the cable only if it leads every other one by {bundle_readings.LEAD:g} or more, "
        f"with no more than one at {_TOP}."
    ),
)
_BUNDLE_AMBIGUOUS: Final = (
    f"Two less than {bundle_readings.LEAD:g} apart: part them from each other and read again.",
    f"Several at {_TOP}: lower the sensitivity and read all of them again.",
    "Whether it is in the bundle at all no reading shows: check it from end to end.",
)
HOW: Final[Mapping[str, tuple[tuple[str, ...], tuple[str, ...]]]] = {
    "identify the breaker": (_IDENTIFY, _IDENTIFY_AMBIGUOUS),
    "list what is downstream": (_DOWNSTREAM, _DOWNSTREAM_AMBIGUOUS),
    **dict.fromkeys((*ALONG, "along a run"), (_ALONG, _ALONG_AMBIGUOUS)),
    "sort a bundle": (_BUNDLE, _BUNDLE_AMBIGUOUS),
}
"""Purpose of a trace → how to decide, and what to do where that does not decide."""

CONNECTION: Final[Mapping[str, str]] = {
    "identify the breaker": "usually across the energized circuit, at the load",
    "list what is downstream": "across the energized circuit, at the breaker or an outlet of it",
    "sort a bundle": "between the cable looked for and a return outside the bundle",
    **dict.fromkeys(
        (*ALONG, "along a run"),
        "wanted along a run: dead conductor with remote return (go and return in one cable cancel)",
    ),
}
"""Purpose → which connection of the transmitter is wanted."""

HINTS: Final[Mapping[str, str]] = {
    "date": "year-month-day",
    "by": "initials or role",
    "load": "whose breaker is looked for",
    "circuit": "the circuit that is traced",
    "cable": "the cable that is traced",
    "transmitter_at": "landmark or distance",
    "found": "loads on the circuit",
    "conclusion": "in your own words",
    "concluded_circuit": "panel/position",
    "concluded_cable": "the cable that stands out",
    "confirmed_by_opening": "opened, load went dead",
    "photos": "numbers or names",
    "notes": "tested with; what was not read, and why",
    "kind": "tick one",
    "room": "where it shows",
    "description": "what happens, in one line",
    "cause": "once it is known",
    "of": "tag of what is inspected",
    "next_due": "where the owner sets one",
}
"""Key of a record → what to write there."""
