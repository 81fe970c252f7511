"""Which cable of a bundle the readings of a tracer point at: the strongest signal, by a margin.

The transmitter is on the cable looked for; the others of the bundle pick its signal up. Readings
say which of the cables read stands out, and not that the one looked for is among them: a check from
end to end does. The rule is ours, from common practice; it was measured on made-up cases and on no
instrument (`site_src/evidence.md` has the rates, tests/evidence/simulator_bundle.py says what is
assumed). Most bundles, of up to 24 cables, some of them lying along each other, stay ambiguous.
Where the right cable is not among those read, another is called now and then, and nothing in the
readings tells.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final, Literal

from recordgen.evidence.signals import Signal, comparable
from recordgen.records.field import Reading

BundleVerdict = Literal["identified", "ambiguous", "not enough"]

LEAD: Final = 20.0
"""Least lead of the strongest over every other one, of 99. More than for breakers, which have three
orientations to tell them apart."""


@dataclass(frozen=True)
class BundleReading:
    """What the readings say of the cable.

    Attributes
    ----------
    verdict : BundleVerdict
    cable : str or None
        The one that stands out, as written; None where none does.
    margin : float or None
        By how much the strongest leads the next one, of 99; None where no two can be compared.
    reasons : tuple of str
        Sentences without a full stop.
    measure_next : str
        What to read or do next.
    """

    verdict: BundleVerdict
    cable: str | None
    margin: float | None
    reasons: tuple[str, ...]
    measure_next: str


def bundle_reading(readings: Iterable[Reading]) -> BundleReading:
    """Return which cable of a bundle stands out.

    Parameters
    ----------
    readings : iterable of Reading
        One for each cable of the bundle, at one sensitivity, 0 to 99. Of three orientations the
        score counts, where every cable has three; else the first one.

    Returns
    -------
    BundleReading
        `not enough` where fewer than two can be compared, or one was read at another sensitivity
        only. `ambiguous` where the lead is under 20, or several stand at the top of the scale.

    Notes
    -----
    Own rule, from common practice; its rates, by simulation, stand at the top of this module.

    Examples
    --------
    >>> bundle = [Reading(at=at, values=value, sensitivity="2")
    ...           for at, value in (("C-1", "34"), ("C-2", "41"), ("C-3", "88"))]
    >>> found = bundle_reading(bundle)
    >>> found.verdict, found.cable, found.margin
    ('identified', 'C-3', 47.0)
    >>> bundle_reading([*bundle, Reading(at="C-4", values="80", sensitivity="2")]).verdict
    'ambiguous'
    """
    usable = comparable(readings)
    groups: dict[int, list[Signal]] = {}
    for signal in usable.signals:
        groups.setdefault(signal.sensitivity, []).append(signal)
    if not groups:
        reasons = usable.left_out or ("no reading is recorded",)
        return BundleReading(
            "not enough", None, None, reasons, "read every cable at one recorded sensitivity"
        )
    sensitivity = min(groups, key=lambda step: (_several_pegged(groups[step]), -len(groups[step])))
    found = _among(groups[sensitivity], sensitivity, usable.signals)
    reasons = (*found.reasons, *usable.left_out)
    if usable.left_out and found.cable is not None:
        following = f"read those that do not count again, at sensitivity {sensitivity}"
        return BundleReading("not enough", None, found.margin, reasons, following)
    return BundleReading(found.verdict, found.cable, found.margin, reasons, found.measure_next)


def _among(
    signals: list[Signal], sensitivity: int, all_signals: tuple[Signal, ...]
) -> BundleReading:
    """Return which of those read at one sensitivity stands out."""
    levels = _levels(signals)
    best, *others = sorted(levels, key=lambda at: (-levels[at], at))
    if not others:
        reason = f"only {best} was read at sensitivity {sensitivity}"
        following = f"read every cable of the bundle at sensitivity {sensitivity}"
        return BundleReading("not enough", None, None, (reason,), following)
    margin = levels[best] - levels[others[0]]
    if _several_pegged(signals):
        reason = "several stand at the top of the scale"
        following = "lower the sensitivity and read every cable again"
        return BundleReading("ambiguous", None, margin, (reason,), following)
    near = [at for at in others if levels[best] - levels[at] < LEAD]
    if near:
        names = f"{best} and {', '.join(near)}"
        reason = f"{names} lie within {LEAD:g} of each other"
        following = f"part {names} from each other and read them again, or check from end to end"
        return BundleReading("ambiguous", None, margin, (reason,), following)
    elsewhere = sorted({signal.at for signal in all_signals} - levels.keys())
    if elsewhere:
        reason = f"{', '.join(elsewhere)} was read at another sensitivity, which does not compare"
        following = f"read {', '.join(elsewhere)} at sensitivity {sensitivity}"
        return BundleReading("not enough", None, margin, (reason,), following)
    reason = f"{best} leads the others by {margin:.0f} of 99"
    following = "check it from end to end: that it is in the bundle at all the readings do not show"
    return BundleReading("identified", best, margin, (reason,), following)


def _levels(signals: list[Signal]) -> dict[str, float]:
    """Return cable → what it is compared by: the score, or the first orientation."""
    turned = {signal.at: signal for signal in signals if signal.has_orientations}
    if turned.keys() == {signal.at for signal in signals}:
        return {at: signal.score for at, signal in turned.items()}
    return {signal.at: signal.flat for signal in signals}


def _several_pegged(signals: list[Signal]) -> bool:
    return len({signal.at for signal in signals if signal.pegged}) > 1
