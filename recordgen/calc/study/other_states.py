"""What may hang on a thing in another state of the switches, and does not in the normal one."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from recordgen.calc.study.distribution import Distribution, Element


@dataclass(frozen=True)
class Carrier:
    """An element on a way to a panel.

    Attributes
    ----------
    element : Element
    others : tuple of str
        Full tags of what it carries besides once all that can be transferred to it is; in the
        normal state none. What feeds the panel may be among them.
    normal : bool
        Whether this is about the normal state.
    """

    element: Element
    others: tuple[str, ...]
    normal: bool


def in_other_states(distribution: Distribution) -> Mapping[str, tuple[str, ...]]:
    """Return element → what may hang on it in another state, and does not in the normal one.

    Notes
    -----
    Counted are recorded feeds and both sides of transfer switches; bus ties and temporary feeds are
    not.
    """
    found: dict[str, list[str]] = {}
    for element in distribution.elements.values():
        if not element.other_feeds:
            continue
        now = {each.tag for each in distribution.path(element.tag)}
        for feed in element.other_feeds:
            for above in distribution.path(feed):
                if above.tag not in now and element.tag not in found.get(above.tag, ()):
                    found.setdefault(above.tag, []).append(element.tag)
    return {tag: tuple(each) for tag, each in found.items()}


def carriers(
    distribution: Distribution, elsewhere: Mapping[str, tuple[str, ...]], panel: str
) -> Iterator[Carrier]:
    """Yield everything that carries a panel, in the normal state and then in others.

    Parameters
    ----------
    distribution : Distribution
    elsewhere : mapping
        What `in_other_states` has found.
    panel : str
        Full tag.

    Yields
    ------
    Carrier
        From the panel to the source; then, for the other states, what carries more then than now,
        and what carries the panel only then.

    Notes
    -----
    All that can be transferred to an element counts at once: which of it comes together is not
    recorded (screening, the safe side).
    """
    normal = [element.tag for element in reversed(distribution.path(panel))]
    for tag in normal:
        yield Carrier(distribution.elements[tag], (), normal=True)
    ways = [
        above.tag
        for tag in normal
        for feed in distribution.elements[tag].other_feeds
        for above in reversed(distribution.path(feed))
    ]
    for tag in dict.fromkeys((*normal, *ways)):
        if tag not in normal or tag in elsewhere:
            others = _apart(distribution, elsewhere.get(tag, ()))
            yield Carrier(distribution.elements[tag], others, normal=False)


def _apart(distribution: Distribution, tags: tuple[str, ...]) -> tuple[str, ...]:
    """Return tags without those that hang below another one of them."""
    return tuple(
        tag for tag in tags if not any(each.tag in tags for each in distribution.path(tag)[:-1])
    )
