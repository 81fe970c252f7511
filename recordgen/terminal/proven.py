"""How much of an answer is proven, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterator

from recordgen.pages.proven_values import NO_SECOND_SOURCE, Proven, ProvenLink
from recordgen.pages.shortened import shortened
from recordgen.terminal.lines import heading, listed, name, wrap

_LISTED = 12
"""How many of a long list the text shows; JSON has them all."""


def proven_text(proven: Proven, home: str) -> Iterator[str]:
    """Yield how much of an answer is proven; nothing where it leans on nothing."""
    if proven.governs is None:
        return
    yield from heading("How much of this is proven")
    feeds = proven.feeds
    verified = f" Verified: {proven.verified(feeds)} of {len(feeds)} feeds on the way."
    yield from wrap(f"{proven.headline}.{verified if feeds else ''}", "  ")
    links = shortened(proven.links, len(proven.links), _LISTED)
    for number, link in enumerate(links.items):
        weakest = "weakest: " if number == 0 and link == proven.weakest else ""
        yield from wrap(f"{weakest}{_link(link, home)}", "  ", "    ")
    if links.rest:
        yield f"  {links.rest}, none of them weaker"
    loads = proven.loads
    if loads.total:
        of = "these loads" if proven.of == "list" else "the loads that go dark"
        text = f"{loads.confirmed + loads.traced} of {loads.total} verified: {of} on their circuits"
        yield from wrap(text, "  ", "    ")
    for group in proven.unproven:
        tags = shortened(group.tags, len(group.tags), _LISTED)
        rest = f" {tags.rest}" if tags.rest else ""
        yield from wrap(f"? {listed(tags.items, home)}{rest}: {group.reason}", "  ", "    ")
    if proven.unfollowed:
        tags = shortened(proven.unfollowed, len(proven.unfollowed), _LISTED)
        text = f"not followed by recorded feeds: {listed(tags.items, home)} {tags.rest}"
        yield from wrap(text, "  ", "    ")
    yield from wrap(NO_SECOND_SOURCE, "  ", "    ")


def _link(link: ProvenLink, home: str) -> str:
    before, verb = link.words
    by = name(link.by, home) if link.by else ""
    said = " ".join(part for part in (before, name(link.thing, home), verb, by) if part)
    grade = link.grade
    trace = f" by {name(grade.trace, home)}" if grade.trace else ""
    reason = f", {grade.reason}" if grade.reason else ""
    count = f" ({link.count} lean on it)" if link.count > 1 else ""
    return f"{said}: {grade.name}{trace}{reason}{count}"


def proven_json(proven: Proven) -> dict[str, object]:
    """Return how much of an answer is proven, as plain values."""
    return {
        "governs": proven.governs,
        "weakest": None if proven.weakest is None else _link_json(proven.weakest),
        "loads": {
            "confirmed": proven.loads.confirmed,
            "traced": proven.loads.traced,
            "unverified": proven.loads.unverified,
        },
        "leans_on": [_link_json(link) for link in proven.links],
        "unproven": [{"reason": group.reason, "loads": [*group.tags]} for group in proven.unproven],
        "not_followed": [*proven.unfollowed],
    }


def _link_json(link: ProvenLink) -> dict[str, object]:
    grade = link.grade
    return {
        "what": link.kind,
        "tag": link.thing,
        "from": link.by or None,
        "evidence": grade.name,
        "trace": grade.trace,
        "date": grade.date.isoformat() if grade.date else None,
        "reason": grade.reason or None,
        "loads": link.count,
    }
