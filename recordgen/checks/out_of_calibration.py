"""Instruments used when their calibration had run out, or could not be shown to hold.

Passing: `due: 2026-09-15`
Failing: `due: 2026-06-30`

Both are the sticker of a meter used on 2026-09-01. A value measured with it stays in the record:
it tells where to look, and binds nobody to a number. Each instrument is one finding.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from recordgen.checks.facts import Facts
from recordgen.evidence.calibration import READ_AGAINST_ITSELF, Use, calibration_on, uses
from recordgen.evidence.concerned import concerned
from recordgen.problems import Problem
from recordgen.records.loader import LoadedBuilding


def check(facts: Facts) -> Iterator[Problem]:
    """Yield a warning for each instrument out of calibration when used, a note where not shown."""
    for loaded in facts.buildings.values():
        late: dict[str, list[Use]] = {}
        not_shown: dict[str, list[Use]] = {}
        for use in uses(loaded.records):
            if use.date > facts.as_of:  # that date is a finding of its own
                continue
            instrument = loaded.records.instruments[use.instrument]
            verdict = calibration_on(instrument, use.date).verdict
            if verdict == "out of calibration":
                late.setdefault(use.instrument, []).append(use)
            elif (
                verdict == "not shown"
                and use.measures
                and instrument.kind not in READ_AGAINST_ITSELF
            ):
                not_shown.setdefault(use.instrument, []).append(use)
        for tag, found in late.items():
            yield _late(facts, loaded, tag, found)
        for tag, found in not_shown.items():
            yield _not_shown(loaded, tag, found)


def _late(facts: Facts, loaded: LoadedBuilding, tag: str, found: Sequence[Use]) -> Problem:
    places = [loaded.where(*use.where) for use in found]
    return Problem(
        "warning",
        "out-of-calibration",
        f"{tag} was used after its calibration had run out on "
        f"{loaded.records.instruments[tag].due}: {_said(found)}",
        places[0],
        "take what it showed as a hint, and measure again with one in calibration",
        related=(*places[1:], loaded.where("instruments", tag, "due")),
        subjects=tuple(dict.fromkeys(subject for u in found for subject in _of(facts, loaded, u))),
    )


def _of(facts: Facts, loaded: LoadedBuilding, use: Use) -> tuple[str, ...]:
    record = getattr(loaded.records, use.section)[use.record]
    return concerned(facts.buildings, loaded, record)


def _not_shown(loaded: LoadedBuilding, tag: str, found: Sequence[Use]) -> Problem:
    first = found[0]
    reasons = calibration_on(loaded.records.instruments[tag], first.date).reasons
    return Problem(
        "note",
        "calibration-not-shown",
        f"whether {tag} was in calibration when used is not shown: {_said(found)}; "
        f"{' and '.join(reasons)}",
        loaded.where("instruments", tag),
        "record `calibrated` and `due`, or keep the older certificate at hand",
        related=tuple(loaded.where(*use.where) for use in found),
    )


def _said(found: Sequence[Use]) -> str:
    """Return which records the uses stand in and when they were, each once."""
    return ", ".join(dict.fromkeys(f"{use.record} on {use.date}" for use in found))
