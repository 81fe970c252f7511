"""The best ways from the sources to every element: one search through all feeds there are."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import cached_property
from typing import Final, Literal, get_args

from recordgen.calc.answer import Need, NoValue
from recordgen.calc.study.distribution import Distribution, Element
from recordgen.calc.study.feed_ways import Way, feed_ways
from recordgen.calc.study.reach import Reach
from recordgen.calc.study.reach_steps import along, source_reach
from recordgen.calc.study.reach_transformer import through
from recordgen.records.equipment import Drive, Transformer, Ups
from recordgen.records.supply import Circuit, Source

_BETTER: Final = 1 + 1e-9
"""By how much a way must give more to count: rings come to rest."""

Best = Literal["lines", "lines at most", "neutral", "neutral at most"]
_BESTS: Final[tuple[Best, ...]] = get_args(Best)


@dataclass
class Reaches:
    """How the sources reach every element but circuits; those hang on their panels.

    Attributes
    ----------
    distribution : Distribution
    temperature_c : float
        Of all conductors [°C].
    """

    distribution: Distribution
    temperature_c: float
    _normal: dict[str, Reach | NoValue] = field(default_factory=dict, init=False, repr=False)

    @cached_property
    def ways(self) -> Mapping[str, tuple[Way, ...]]:
        """The ways into every element."""
        return feed_ways(self.distribution)

    @cached_property
    def best(self) -> Mapping[str, Mapping[Best, Reach]]:
        """Element other than a circuit → the best reaches of it over all ways, of each kind.

        "at most" counts ways of which something is not recorded, with that left out.
        """
        return self._searched[0]

    @cached_property
    def lost(self) -> Mapping[str, tuple[Need, ...]]:
        """Element other than a circuit → why some way to it cannot be followed at all.

        Such a way may give more than all others.
        """
        found = {tag: dict.fromkeys(needs) for tag, needs in self._searched[1].items()}
        waiting = deque(found)
        while waiting:
            here = waiting.popleft()
            for way in self._ways_out.get(here, ()):
                there = found.setdefault(way.element, {})
                known = len(there)
                there.update(found[here])
                if len(there) > known:
                    waiting.append(way.element)
        return {tag: tuple(needs) for tag, needs in found.items()}

    @cached_property
    def _searched(self) -> tuple[dict[str, dict[Best, Reach]], dict[str, dict[Need, None]]]:
        """Return the best reaches, and where a way ends without one."""
        found: dict[str, dict[Best, Reach]] = {}
        ended: dict[str, dict[Need, None]] = {}
        waiting: deque[str] = deque()
        for tag, element in self.distribution.elements.items():
            if isinstance(element.record, Source):
                start = source_reach(element)
                if isinstance(start, NoValue):
                    ended.setdefault(tag, {}).update(dict.fromkeys(start.needs))
                else:
                    found[tag] = _bests(start)
                    waiting.append(tag)
        while waiting:
            here = waiting.popleft()
            # By identity: two reaches are compared down to their sources, and most are one.
            reaches = {id(reach): reach for reach in found[here].values()}.values()
            for way in self._ways_out.get(here, ()):
                better = False
                for reach in reaches:
                    there = self._extended(reach, way)
                    if isinstance(there, NoValue):
                        ended.setdefault(way.element, {}).update(dict.fromkeys(there.needs))
                    else:
                        better |= _improve(found.setdefault(way.element, {}), _bests(there))
                if better:
                    waiting.append(way.element)
        return found, ended

    @cached_property
    def _ways_out(self) -> Mapping[str, list[Way]]:
        """Element other than a circuit → the ways that begin there, through circuits too."""
        found: dict[str, list[Way]] = {}
        for tag, ways in self.ways.items():
            if not isinstance(self.distribution.elements[tag].record, Circuit):
                for way in ways:
                    found.setdefault(self.bus(way.feed), []).append(way)
        return found

    def bus(self, tag: str) -> str:
        """Return a circuit's panel; any other element itself."""
        is_circuit = isinstance(self.distribution.elements[tag].record, Circuit)
        return tag.rpartition("/")[0] if is_circuit else tag

    def _extended(self, reach: Reach, way: Way) -> Reach | NoValue:
        """Return the reach at the end of a way, through the transformer that stands there."""
        feed, element = (self.distribution.elements[t] for t in (way.feed, way.element))
        blocked = self._blocked(self.distribution.elements[self.bus(way.feed)])
        if blocked is not None:
            return NoValue((blocked,))
        if isinstance(feed.record, Circuit) and feed.poles is not None:
            reach = replace(reach, poles=min(reach.poles, feed.poles))
        there = along(reach, way, element, self.temperature_c)
        if isinstance(element.record, Transformer):
            return through(there, element)
        return there

    def _blocked(self, element: Element) -> Need | None:
        """Return why nothing is known behind an element that has an inverter and no bypass."""
        if not isinstance(element.record, Ups | Drive):
            return None
        if any("bypass" in way.what for way in self.ways[element.tag]):
            return None
        what = "UPS" if isinstance(element.record, Ups) else "drive"
        return Need(element.tag, "output fault current", f"a {what} limits it; ask its maker")

    def in_normal_state(self, tag: str) -> Reach | NoValue:
        """Return how an element other than a circuit is reached by its normal feeds."""
        chain: list[str] = []
        here: str | None = tag
        while here is not None and here not in self._normal and here not in chain:
            chain.append(here)
            way = self._normal_way(here)
            here = self.bus(way.feed) if way is not None else None
        for each in reversed(chain):
            self._normal[each] = self._one_step(each)
        return self._normal[tag]

    def _one_step(self, tag: str) -> Reach | NoValue:
        element, way = self.distribution.elements[tag], self._normal_way(tag)
        if isinstance(element.record, Source):
            return source_reach(element)
        if way is None:
            return NoValue((Need(tag, "fed_from"),))
        before = self._normal.get(self.bus(way.feed))
        if before is None:
            return NoValue((Need(tag, "fed_from", "it is fed in a ring"),))
        return before if isinstance(before, NoValue) else self._extended(before, way)

    def _normal_way(self, tag: str) -> Way | None:
        return next((way for way in self.ways[tag] if way.normal), None)


def may_be_more(reach: Reach, rival: Reach | None, *, to_neutral: bool = False) -> tuple[Need, ...]:
    """Return what is not recorded of a way that may give more than the one that counts."""
    if rival is None or rival is reach:
        return ()
    mine, other = (r.to_neutral_va if to_neutral else r.line_va for r in (reach, rival))
    if other <= mine * _BETTER:
        return ()
    return (*rival.needs, *rival.neutral_needs) if to_neutral else rival.needs


def _bests(reach: Reach) -> dict[Best, Reach]:
    """Return what a reach is a candidate for."""
    found: dict[Best, Reach] = {"lines at most": reach}
    if reach.complete:
        found["lines"] = reach
    if reach.neutral_v is not None:
        found["neutral at most"] = reach
    if reach.neutral_complete:
        found["neutral"] = reach
    return found


def _improve(best: dict[Best, Reach], offered: Mapping[Best, Reach]) -> bool:
    """Put in what gives more; return whether anything did."""
    better = False
    for kind in _BESTS:
        new, old = offered.get(kind), best.get(kind)
        if new is not None and (old is None or _va(new, kind) > _va(old, kind) * _BETTER):
            best[kind] = new
            better = True
    return better


def _va(reach: Reach, kind: Best) -> float:
    return reach.line_va if kind.startswith("lines") else reach.to_neutral_va
