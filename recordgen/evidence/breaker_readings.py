"""Which breaker the readings of a tracer point at, and whether they bear it.

Covers of panels are read first, then breakers, then the best of them in three orientations. Every
breaker near the right one reads high too, in one orientation; only the right one is strong in all
three. So a breaker is called only if it was read in three orientations beside others, is strong and
even in its own three, and leads the others by the more the less even it is; if those beside it were
read, and no breaker that was read or skipped may be it instead. Everything else is an answer too.

The rule is ours, from common practice, and so are its constants: tuned on made-up cases, of which
one in ten does not hold the right breaker, and on no instrument. False certainty counts most: the
limits keep wrong calls to half a percent or so under models harder than the usual one too, and
leave the more cases open. `site_src/evidence.md` has the rates, `python -m tests.evidence.rates`
counts them, tests/evidence/simulator_breakers.py says what is assumed. An answer is an indication;
opening proves.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final, Literal

from recordgen.evidence.signals import TOP_OF_SCALE, Comparable, Signal

BreakerVerdict = Literal["identified", "ambiguous", "contradicts the record", "not enough"]

LEAD: Final = 6.0
"""Least lead of the best score over every other one, of 99."""
STRONG: Final = 45.0
"""Least reading of the right breaker in its weakest orientation."""
EVEN: Final = 0.72
"""Least share of the strongest orientation that the other two have in the mean. What a neighbour
picks up has a direction, and keeps it however the sensitivity is set: this tells the best of the
wrong ones when the right one was not read."""
STANDING: Final = 1.1
"""Least sum of that share and of the lead as a share of the score: what is less even than others
has to lead by more. Both are shares, so that the sensitivity does not matter."""
STANDING_WITHOUT_COVERS: Final = 1.35
"""The same where no cover of another panel was read beside that of its own: then nothing but the
breaker itself says that it is the right panel."""
DIRECTED: Final = 50.0
"""A breaker at the top of the scale in one orientation and at most this in another has a direction:
it is not the right one, whatever its strongest orientation would have shown."""
FAR_BELOW: Final = 25.0
"""A breaker this far below the best in one and the same orientation need not be turned to."""
COVER_FAR_BELOW: Final = 15.0
"""A panel whose cover reads this far below that of one that was opened need not be."""


@dataclass(frozen=True)
class Panels:
    """Which of the places are breakers, and how they sit.

    Attributes
    ----------
    panel_of : mapping, breaker → its panel
        Of every breaker that was read, also where the reading does not count; what is not in it is
        a cover. The poles of one device have one name.
    next_to : mapping, breaker → breakers recorded beside it on its side of the panel
        They pick up most; one that was not read might be the right one.
    """

    panel_of: Mapping[str, str]
    next_to: Mapping[str, tuple[str, ...]]


@dataclass(frozen=True)
class BreakerReading:
    """What the readings say of the breaker.

    Attributes
    ----------
    verdict : BreakerVerdict
        `identified`: the readings bear one breaker. `contradicts the record`: they do, and the load
        is recorded elsewhere. `ambiguous`: several remain. `not enough`: none can be called.
    breaker : str or None
        The breaker they bear; None where they bear none.
    margin : float or None
        By how much its score leads the next one, of 99; None where no two can be compared.
    reasons : tuple of str
        Sentences without a full stop.
    measure_next : str or None
        What to read or do next; None where nothing is left to do.
    confirmed : bool
        Whether it was opened and the load went dead, which readings never show.
    """

    verdict: BreakerVerdict
    breaker: str | None
    margin: float | None
    reasons: tuple[str, ...]
    measure_next: str | None
    confirmed: bool = False


def breaker_reading(readings: Comparable, panels: Panels) -> BreakerReading:
    """Return which breaker the readings point at, and whether they bear it.

    Parameters
    ----------
    readings : Comparable
        Of covers and of breakers, 0 to 99.
    panels : Panels

    Returns
    -------
    BreakerReading
        `identified`, `ambiguous` or `not enough`; never confirmed. Where several remain, the margin
        is that of the best of them.

    Notes
    -----
    Own rule, from common practice; its rates, by simulation, stand at the top of this module.

    Examples
    --------
    >>> panels = Panels({"LP-1/14": "LP-1", "LP-1/16": "LP-1"}, {})
    >>> three = (Signal("LP-1/14", (78, 74, 71), 4), Signal("LP-1/16", (76, 41, 22), 4))
    >>> found = breaker_reading(Comparable(three, ()), panels)
    >>> found.verdict, found.breaker, round(found.margin, 1)
    ('identified', 'LP-1/14', 38.5)
    >>> flat = (Signal("LP-1/14", (78,), 4), Signal("LP-1/16", (76,), 4))
    >>> found = breaker_reading(Comparable(flat, ()), panels)
    >>> found.verdict, found.measure_next
    ('ambiguous', 'read LP-1/14 and LP-1/16 in three orientations at one sensitivity')
    """
    covers = [signal for signal in readings.signals if signal.at not in panels.panel_of]
    breakers = [signal for signal in readings.signals if signal.at in panels.panel_of]
    if not breakers:
        return _of_covers(covers, readings.left_out)
    turned = _turned(breakers)
    if not turned:
        found = _of_one_orientation(breakers)
    elif len(turned) == 1:
        found = _nothing_to_compare(turned[0], breakers)
    else:
        found = (
            _of_three(turned)
            or _too_little(turned, covers, panels)
            or _called(turned, covers, breakers, panels)
        )
    return _with(found, readings.left_out)


def _turned(breakers: list[Signal]) -> list[Signal]:
    """Return what was read in three orientations at one sensitivity, the best score first.

    Of several sensitivities, one where at most one breaker stands at the top of the scale goes
    first, then that of the most breakers, then the lower one.
    """
    found: dict[int, list[Signal]] = {}
    for signal in breakers:
        if signal.has_orientations:
            found.setdefault(signal.sensitivity, []).append(signal)

    def order(sensitivity: int) -> tuple[bool, int, int]:
        several = found[sensitivity]
        return sum(signal.pegged for signal in several) > 1, -len(several), sensitivity

    if not found:
        return []
    return sorted(found[min(found, key=order)], key=lambda signal: (-signal.score, signal.at))


def _of_covers(covers: list[Signal], left_out: tuple[str, ...]) -> BreakerReading:
    if not covers:
        reasons = left_out or ("no reading is recorded",)
        return BreakerReading("not enough", None, None, reasons, "read the covers of the panels")
    best = max(covers, key=lambda signal: signal.flat)
    rivals = [signal.at for signal in covers if not _far_below(signal, best, COVER_FAR_BELOW)]
    reason = "only covers were read, and a cover does not tell a breaker"
    following = f"read the breakers of {_listed(rivals)}, all at one sensitivity"
    return BreakerReading("not enough", None, None, (reason, *left_out), following)


def _of_one_orientation(breakers: list[Signal]) -> BreakerReading:
    best = max(breakers, key=lambda signal: signal.flat)
    near = [signal for signal in breakers if not _far_below(signal, best, FAR_BELOW)]
    names = _listed([signal.at for signal in near])
    following = f"read {names} in three orientations at one sensitivity"
    if len(near) > 1:
        reason = f"{names} come near each other, and none was read in three orientations"
        if sum(signal.pegged for signal in near) > 1:
            reason = f"{names} stand at the top of the scale or come near it"
            following = f"lower the sensitivity and {following}"
        return BreakerReading("ambiguous", None, None, (reason,), following)
    reason = (
        f"{best.at} reads highest, but in one orientation, in which a neighbour may read highest"
    )
    following = f"read {best.at} and those next below it in three orientations at one sensitivity"
    return BreakerReading("not enough", None, None, (reason,), following)


def _nothing_to_compare(best: Signal, breakers: list[Signal]) -> BreakerReading:
    reason = (
        f"only {best.at} was read in three orientations, so there is nothing to compare it with"
    )
    others = [signal for signal in breakers if signal.at != best.at]
    others.sort(key=lambda signal: (-signal.flat, signal.at))
    names = _listed([signal.at for signal in others[:2]]) or "the breakers beside it"
    following = f"read {names} in three orientations too, at sensitivity {best.sensitivity}"
    return BreakerReading("not enough", None, None, (reason,), following)


def _of_three(turned: list[Signal]) -> BreakerReading | None:
    """Return why none of those read in three orientations can be called; None if the best can."""
    best, *others = turned
    margin = best.score - others[0].score
    pegged = [signal for signal in turned if signal.pegged]
    in_doubt = [s for s in pegged if s is not best and s.lowest > DIRECTED]
    if len(pegged) > 1 or in_doubt or (best.pegged and best.lowest < EVEN * TOP_OF_SCALE):
        names = _listed([signal.at for signal in pegged])
        reason = f"{names} {'stand' if len(pegged) > 1 else 'stands'} at the top of the scale"
        following = "lower the sensitivity and read again in three orientations"
        return BreakerReading("ambiguous", None, margin, (reason,), following)
    if best.lowest < STRONG or _evenness(best) < EVEN:
        reason = (
            f"none is strong in all three orientations; the best, {best.at}, "
            f"reads {', '.join(f'{value:g}' for value in best.values)}"
        )
        following = "look for breakers that were not read, in other panels too, and read them"
        return BreakerReading("not enough", None, margin, (reason,), following)
    near = [signal.at for signal in turned if best.score - signal.score < LEAD]
    if len(near) > 1:
        names = _listed(near)
        reason = f"{names} lie within {LEAD:g} of each other in three orientations"
        following = f"read {names} again, then open them one by one where that may be done"
        return BreakerReading("ambiguous", None, margin, (reason,), following)
    return None


def _too_little(
    turned: list[Signal], covers: list[Signal], panels: Panels
) -> BreakerReading | None:
    """Return why the best stands out too little to be called; None where it stands out enough."""
    best, second = turned[:2]
    margin = best.score - second.score
    own = panels.panel_of[best.at]
    read = {signal.at for signal in covers}
    covered = own in read and len(read) > 1
    if _evenness(best) + margin / best.score >= (STANDING if covered else STANDING_WITHOUT_COVERS):
        return None
    reason = (
        f"{best.at} reads {', '.join(f'{value:g}' for value in best.values)} and leads {second.at} "
        f"by {margin:.0f} of 99: one that stands in for a breaker that was not read may do the same"
    )
    following = "look for breakers that were not read, in other panels too, and read them"
    if not covered:
        following = f"read the cover of {own} and those of other panels, and {following}"
    return BreakerReading("not enough", None, margin, (reason,), following)


def _called(
    turned: list[Signal], covers: list[Signal], breakers: list[Signal], panels: Panels
) -> BreakerReading:
    """Return the best as identified, or what it has not been compared with yet."""
    best = turned[0]
    margin = best.score - turned[1].score
    counted = {signal.at for signal in breakers}
    lost = [at for at in panels.panel_of if at not in counted]
    if lost:
        reason = f"{_listed(lost)} was read too, and what was read there does not count"
        following = f"read {_listed(lost)} at sensitivity {best.sensitivity}"
        return BreakerReading("ambiguous", None, margin, (reason,), following)
    again = _not_compared(turned, breakers)
    if again:
        reason = f"{_listed(again)} came near in one orientation or at another sensitivity only"
        following = f"read {_listed(again)} in three orientations at sensitivity {best.sensitivity}"
        return BreakerReading("ambiguous", None, margin, (reason,), following)
    unopened = _unopened(covers, {panels.panel_of[signal.at] for signal in breakers})
    if unopened:
        reason = f"by the covers it may be in {_listed(unopened)}, where no breaker was read"
        following = f"read the breakers of {_listed(unopened)} at sensitivity {best.sensitivity}"
        return BreakerReading("ambiguous", None, margin, (reason,), following)
    read = {signal.at for signal in breakers}
    beside = [at for at in panels.next_to.get(best.at, ()) if at not in read]
    if beside:
        reason = f"{_listed(beside)} beside {best.at} may read higher, and no reading is recorded"
        following = f"read {_listed(beside)} at sensitivity {best.sensitivity}"
        return BreakerReading("not enough", None, margin, (reason,), following)
    skipped = _skipped(best, read, panels)
    if skipped:
        reason = f"those beside {_listed(skipped)} were read, and it was skipped"
        following = f"read {_listed(skipped)} at sensitivity {best.sensitivity}"
        return BreakerReading("not enough", None, margin, (reason,), following)
    reason = f"{best.at} is strong in all three orientations and leads by {margin:.0f} of 99"
    following = "open it with the transmitter on: only the load going dead confirms it"
    return BreakerReading("identified", best.at, margin, (reason,), following)


def _skipped(best: Signal, read: set[str], panels: Panels) -> list[str]:
    """Return what was not read, though what is beside it on both sides was, in the same panel."""
    own = panels.panel_of[best.at]
    beside = [
        at
        for one in sorted(read)
        if panels.panel_of[one] == own
        for at in panels.next_to.get(one, ())
        if at not in read
    ]
    return [at for at in dict.fromkeys(beside) if beside.count(at) > 1]


def _not_compared(turned: list[Signal], breakers: list[Signal]) -> list[str]:
    """Return the breakers that no reading beside one of those turned to rules out."""
    done = {signal.at for signal in turned}
    out = set()
    for sensitivity in {signal.sensitivity for signal in breakers}:
        same = [signal for signal in breakers if signal.sensitivity == sensitivity]
        highest = max((s for s in same if s.at in done), key=lambda s: s.flat, default=None)
        if highest is not None:
            out |= {signal.at for signal in same if _far_below(signal, highest, FAR_BELOW)}
    return list(dict.fromkeys(s.at for s in breakers if s.at not in done | out))


def _unopened(covers: list[Signal], opened: set[str]) -> list[str]:
    """Return panels that their covers keep in the running and none of whose breakers was read."""
    read = [signal for signal in covers if signal.at in opened]
    found = []
    for at in dict.fromkeys(signal.at for signal in covers if signal.at not in opened):
        there = [signal for signal in covers if signal.at == at]
        if not any(_far_below(cover, best, COVER_FAR_BELOW) for cover in there for best in read):
            found.append(at)
    return found


def _evenness(signal: Signal) -> float:
    """Return the mean of the two weaker orientations as a share of the strongest, 0 to 1."""
    highest = max(signal.values)
    return (sum(signal.values) - highest) / 2 / highest if highest else 0.0


def _far_below(signal: Signal, other: Signal, by: float) -> bool:
    """Say whether a signal is that far below another of the same sensitivity."""
    return signal.sensitivity == other.sensitivity and other.flat - signal.flat >= by


def _with(found: BreakerReading, left_out: tuple[str, ...]) -> BreakerReading:
    reasons = (*found.reasons, *left_out)
    return BreakerReading(found.verdict, found.breaker, found.margin, reasons, found.measure_next)


def _listed(names: Sequence[str]) -> str:
    """Return names as a sentence lists them; empty where there are none."""
    if not names:
        return ""
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last
