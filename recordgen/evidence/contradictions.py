"""Traces that say otherwise than the record, or than each other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from recordgen.evidence.claims import Claim


@dataclass(frozen=True)
class Contradiction:
    """A trace that puts a load on another circuit than the record, or than another trace.

    Attributes
    ----------
    building, trace : str
        Where the trace stands, and its tag there.
    load, concluded : str
        Full tags.
    recorded : tuple of str
        Full tags of every recorded feed; empty where what feeds it is not recorded.
    others : tuple of Claim
        What other traces say: those that bear the record out; where nothing is recorded, those that
        have the load on yet another circuit.
    """

    building: str
    trace: str
    load: str
    recorded: tuple[str, ...]
    concluded: str
    others: tuple[Claim, ...] = ()


def contradictions(claims: Iterable[Claim]) -> Iterator[Contradiction]:
    """Yield each trace that contradicts the record, and each that contradicts an earlier one.

    What somebody wrote down as resolved is left out. Two traces can contradict each other alone
    only where no feed is recorded: else at least one of them contradicts the record.
    """
    of_load: dict[str, list[Claim]] = {}
    for claim in claims:
        of_load.setdefault(claim.load, []).append(claim)
    for several in of_load.values():
        for claim in several:
            if claim.contradicts:
                others = tuple(other for other in several if other.feeds)
                yield _contradiction(claim, others)
        yield from _without_record(several)


def _without_record(several: list[Claim]) -> Iterator[Contradiction]:
    open_ones = [claim for claim in several if not claim.recorded and not claim.settled]
    open_ones.sort(key=lambda claim: (claim.date, claim.tag))
    for index, claim in enumerate(open_ones):
        others = tuple(o for o in open_ones[:index] if o.circuit != claim.circuit)
        if others:
            yield _contradiction(claim, others)


def _contradiction(claim: Claim, others: tuple[Claim, ...]) -> Contradiction:
    return Contradiction(
        claim.building, claim.trace, claim.load, claim.recorded, claim.circuit, others
    )
