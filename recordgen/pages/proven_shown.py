"""How much of a sheet is proven, ready for its page: links, shares, long lists shortened."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from recordgen.evidence.grades import Grade
from recordgen.pages.proven_values import NO_SECOND_SOURCE, Proven, ProvenLink
from recordgen.pages.share import Share, share_of
from recordgen.pages.shortened import Shortened, shortened

_LISTED: Final = 12
"""How many of a long list a sheet shows; every load stands in its list of loads besides."""
_SHARE_OF: Final = {
    "list": "Loads on their own circuits",
    "locks": "What these locks darken, loads on their own circuits",
}


@dataclass(frozen=True)
class LinkShown:
    """A link ready to show: `before` stands before its thing, `verb` between thing and feed."""

    before: str
    thing: str
    verb: str
    by: str
    grade: Grade
    trace: str | None
    date: str
    count: int


@dataclass(frozen=True)
class UnprovenShown:
    """Loads that are not verified for one reason, long lists shortened."""

    reason: str
    tags: Shortened[str]


@dataclass(frozen=True)
class ProvenShown:
    """How much of a sheet is proven, ready to show; see `Proven`."""

    share: Share | None
    share_of: str
    governs: str
    headline: str
    feeds_count: str
    links: Shortened[LinkShown]
    unfollowed: Shortened[str]
    unproven: tuple[UnprovenShown, ...]
    second_source: str


def proven_shown(found: Proven) -> ProvenShown:
    """Return how much of a sheet is proven, as its page shows it."""
    feeds = found.feeds
    verified = Proven.verified(feeds)
    return ProvenShown(
        share=share_of(found.loads),
        share_of=_SHARE_OF[found.of],
        governs=found.governs or "",
        headline=found.headline,
        feeds_count=f"{verified} of {len(feeds)} feeds on the way" if feeds else "",
        links=shortened(map(_link, found.links), len(found.links), _LISTED),
        unfollowed=shortened(found.unfollowed, len(found.unfollowed), _LISTED),
        unproven=tuple(
            UnprovenShown(group.reason, shortened(group.tags, len(group.tags), _LISTED))
            for group in found.unproven
        ),
        second_source=NO_SECOND_SOURCE,
    )


def _link(link: ProvenLink) -> LinkShown:
    before, verb = link.words
    grade = link.grade
    # Where it is no better, the reason has the day; a look has it too.
    dated = grade.date is not None and not grade.reason
    return LinkShown(
        before.capitalize(),
        link.thing,
        verb,
        link.by,
        grade,
        grade.trace,
        f"{grade.date}" if dated else "",
        link.count,
    )
