"""Sentences that pages and the terminal share: outcomes, verdicts, cautions, lockout steps.

The steps are in our own words; the paragraphs they answer to are named beside them. What the
paragraphs require was read in part in copies and state twins of the federal text and in part
taken from memory: check it against the standard in force.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Literal

from recordgen.network.isolation import Verdict
from recordgen.network.outcomes import Outcome

CAUTION: Final = (
    "This record is an aid and no proof. Test before touch, with an instrument proven before and "
    "after. Qualified persons only. The local code, the authority having jurisdiction and "
    "licensed practice decide."
)
CAUTIONS: Final = (
    "This record is an aid and no proof that anything is dead.",
    "Test before touch: every conductor, with an instrument proven live before and after.",
    "Only qualified persons work by this sheet.",
    "The local code, the authority having jurisdiction and licensed practice decide.",
)
SCREENING: Final = (
    "Screening values from the records, for review by a licensed engineer. The local code, the "
    "authority having jurisdiction and licensed practice decide."
)
VERDICTS: Final[dict[Verdict, str]] = {
    "yes": "Every recorded source is cut off by the locks below.",
    "no": "CANNOT be made dead by locks here: a source reaches it through nothing lockable.",
    "unproven": "CANNOT BE PROVEN ISOLATED: it depends on what is not recorded.",
}
OUTCOME_CLASS: Final[dict[Outcome, str]] = {
    "dark": "dark",
    "rides through, then dark": "rides-through",
    "may see abnormal voltage": "abnormal",
    "brief interruption, then standby": "interrupted",
    "loses standby or redundancy": "loses-standby",
    "unaffected": "unaffected",
}


NEUTRAL_LIVE: Final = "its neutral stands at line voltage"


def outcome_text(outcome: Outcome, detail: str, *, again: bool) -> str:
    """Return an outcome with how long, carried by what, and whether dark may not stay dead."""
    text: str = outcome
    if outcome == "rides through, then dark":
        text = f"rides through ({detail or 'time not recorded'}), then dark"
    elif detail == NEUTRAL_LIVE:
        text = f"{outcome}, {detail}"
    elif outcome == "loses standby or redundancy" and detail:
        text = f"carried by {detail}, then standby"
    return f"{text}; may be energized again" if again and "dark" in outcome else text


@dataclass(frozen=True)
class SheetStep:
    """A step of a lockout, and the paragraphs that ask for it."""

    text: str
    cites: str


StepName = Literal[
    "compare",
    "tell",
    "inhibit",
    "stop",
    "open",
    "lock",
    "release",
    "try",
    "test",
    "ground",
]
RestoreName = Literal["clear", "warn", "close", "automatic", "tell"]
LOCK_STEPS: Final[dict[StepName, SheetStep]] = {
    "compare": SheetStep(
        "Know the job: compare this sheet with the labels at the equipment. Where they differ, "
        "stop and find out.",
        "29 CFR 1910.333(b)(2)(ii)(A), 1910.147(d)(1)",
    ),
    "tell": SheetStep(
        "Tell everyone the outage touches, before any lock goes on.",
        "29 CFR 1910.147(c)(9)",
    ),
    "inhibit": SheetStep(
        "First keep from acting what starts, transfers or feeds back by itself and has no lock "
        "before it. This is no isolation: only the locks are.",
        "29 CFR 1910.147(d)(1); common practice",
    ),
    "stop": SheetStep(
        "Stop the loads by their own controls, so that no device is opened under load.",
        "29 CFR 1910.147(d)(2)",
    ),
    "open": SheetStep(
        "Open every device in the list, from the load to the source. A push button, selector "
        "switch or interlock is no isolation.",
        "29 CFR 1910.147(d)(3), 1910.333(b)(2)(ii)(B)",
    ),
    "lock": SheetStep(
        "Put your own lock and tag on each. You keep the key.",
        "29 CFR 1910.147(d)(4), 1910.333(b)(2)(iii)",
    ),
    "release": SheetStep(
        "Release stored energy: discharge and short capacitors, block what can fall, turn or "
        "spring back, and keep watching what can build up again.",
        "29 CFR 1910.147(d)(5), 1910.333(b)(2)(ii)(C) and (D)",
    ),
    "try": SheetStep(
        "Try to start the equipment by its controls, then set them back to off.",
        "29 CFR 1910.147(d)(6), 1910.333(b)(2)(iv)(A)",
    ),
    "test": SheetStep(
        "Prove the instrument on a known live source. Test every conductor to every other and to "
        "ground, the neutral too, also for induced voltage and backfeed. Prove the instrument "
        "again.",
        "29 CFR 1910.333(b)(2)(iv)(B); NFPA 70E 120.5 (from memory)",
    ),
    "ground": SheetStep(
        "Where induced voltage, backfeed or stored energy could return, apply temporary grounds "
        "rated for the available fault current.",
        "NFPA 70E 120.5 (from memory)",
    ),
}
RESTORE_STEPS: Final[dict[RestoreName, SheetStep]] = {
    "clear": SheetStep(
        "Take tools, jumpers and grounds out; see that guards and covers are back.",
        "29 CFR 1910.147(e)(1), 1910.333(b)(2)(v)",
    ),
    "warn": SheetStep(
        "See that everyone is clear, and tell them.",
        "29 CFR 1910.147(e)(2), 1910.333(b)(2)(v)",
    ),
    "close": SheetStep(
        "Each lock comes off by the one who put it on. Close in reverse order, from the source to "
        "the load; what is meant to stand open stays open.",
        "29 CFR 1910.147(e)(3)",
    ),
    "automatic": SheetStep(
        "Set back to automatic what was kept from acting.",
        "common practice",
    ),
    "tell": SheetStep(
        "Start the loads, and tell everyone who was told before.",
        "29 CFR 1910.147(c)(9)",
    ),
}
FEWEST: Final = (
    "To weigh against an outage, not to work by: between these locks and the work stand devices "
    "that could be locked too, and everything else behind these locks goes dark."
)
UNGROUNDED: Final = (
    "This system is not solidly grounded at a neutral: a test to ground alone can read zero on a "
    "live conductor. Test phase to phase."
)
