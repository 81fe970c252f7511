"""How much of a sheet is proven, put together from grades of loads and of what is between."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal

from recordgen.evidence.coverage import coverage_of
from recordgen.evidence.proof_edges import ProofEdges, proof_edges
from recordgen.network.model import local
from recordgen.network.opening import split_conductor
from recordgen.pages.answer_values import DownstreamAnswer, LoadLine
from recordgen.pages.known import Known
from recordgen.pages.lockout_values import IsolationAnswer
from recordgen.pages.proven_values import Proven, ProvenLink, Unproven


def proven_outage(known: Known, answer: DownstreamAnswer) -> Proven:
    """Return how much of a list of what goes dark is proven."""
    opened = [split_conductor(known.network, line.tag)[0] for line in answer.opened]
    opened += [line.tag for line in answer.tied]
    tags = (line.tag for line in answer.loads)
    between = proof_edges(known.portfolio.edge_grades, tags, opened)
    return _proven("list", answer.loads, _feeds(between), between.unfollowed)


def proven_lockout(known: Known, answer: IsolationAnswer) -> Proven:
    """Return how much of a lockout sheet is proven: the way to its locks, and what they darken."""
    target = answer.isolation.target
    locks = [point.device.tag for point in answer.points]
    between = proof_edges(known.portfolio.edge_grades, target.tags, locks)
    links = [
        ProvenLink("hangs on", tag, circuit, known.portfolio.grades.of_claim(tag, circuit))
        for tag in target.tags
        for circuit in known.circuits_of(tag)
    ]
    links += [*_feeds(between), *_looked_for(known, target.tags)]
    # Without a lock there is no way to follow.
    return _proven("locks", answer.dark.loads, links, between.unfollowed if locks else ())


def _proven(
    of: Literal["list", "locks"],
    loads: tuple[LoadLine, ...],
    links: Iterable[ProvenLink],
    unfollowed: tuple[str, ...],
) -> Proven:
    by_reason: dict[str, list[str]] = {}
    for line in loads:
        if line.grade.name == "unverified":
            by_reason.setdefault(line.grade.reason, []).append(line.tag)
    return Proven(
        of,
        coverage_of(line.grade.name for line in loads),
        tuple(Unproven(reason, tuple(tags)) for reason, tags in by_reason.items()),
        tuple(sorted(links, key=lambda link: (link.grade.rank, not link.by))),
        unfollowed,
    )


def _feeds(between: ProofEdges) -> list[ProvenLink]:
    return [
        ProvenLink("fed from", edge.thing, edge.by, edge.grade, edge.count)
        for edge in between.edges
    ]


def _looked_for(known: Known, tags: Iterable[str]) -> Iterator[ProvenLink]:
    """Yield what the target of a sheet leans on that can only be looked for."""
    grades = known.portfolio.edge_grades
    about = [tag for target in tags for tag in (target, *known.circuits_of(target))]
    for tag in dict.fromkeys(about):
        if tag in known.network.circuit_zone:
            yield ProvenLink("neutral", tag, "", grades.of_neutral(tag))
        elif "/" not in local(tag) and known.has_box(tag):
            yield ProvenLink("pass-through", tag, "", grades.of_crossing(tag))
