"""The network while it is being put together: points instead of zones, problems on the way."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from recordgen.network.model import CouplingKind, Device, NetworkLoad, NetworkSource, Role, Terminal
from recordgen.network.points import Points
from recordgen.network.poles import ungrounded
from recordgen.network.references import Resolver
from recordgen.problems import Location, Problem
from recordgen.records.loader import LoadedBuilding
from recordgen.records.parts import TemporaryFeed
from recordgen.records.positions import Reference
from recordgen.records.system import NominalSystem


@dataclass
class Draft:
    """What the readers of panels, equipment and loads add to."""

    resolver: Resolver
    problems: list[Problem]
    points: Points = field(default_factory=Points)
    devices: dict[str, Device] = field(default_factory=dict)
    sources: dict[str, NetworkSource] = field(default_factory=dict)
    loads: dict[str, NetworkLoad] = field(default_factory=dict)
    couplings: list[tuple[CouplingKind, str, str]] = field(default_factory=list)
    feeds: list[tuple[str, str, Location]] = field(default_factory=list)
    """What feeds what, as recorded: (full tag of the feeder, full tag of the fed, place)."""
    control_feeds: list[tuple[str, str, Location]] = field(default_factory=list)
    """The same for control power."""
    control_points: dict[str, list[str]] = field(default_factory=dict)
    """Full tag of what has control power from elsewhere → its terminals for it."""
    joins: list[tuple[str, str]] = field(default_factory=list)
    crossings: list[tuple[str, str]] = field(default_factory=list)
    unknown_load_circuits: dict[str, bool] = field(default_factory=dict)
    system_conductors: dict[str, int] = field(default_factory=dict)
    """Point → ungrounded conductors of the system recorded there."""
    circuit_conductors: dict[str, int] = field(default_factory=dict)
    """Point → poles of the circuit whose load side it is."""

    def feed(
        self,
        loaded: LoadedBuilding,
        owner: str,
        point: str,
        references: Iterable[Reference] | None,
        path: tuple[str, ...],
    ) -> None:
        """Join `point` of `owner` to everything that feeds it; an unknown source where nothing is.

        Parameters
        ----------
        loaded : LoadedBuilding
        owner : str
            Full tag of the panel or equipment.
        point : str
            Its point where the feed lands.
        references : iterable of Reference, or None
            What is recorded; None or none at all means that the source is not known.
        path : tuple of str
            Section, tag and key of the record, for messages.
        """
        named = list(references or ())
        for index, reference in enumerate(named):
            steps = (*path, index) if len(named) > 1 else path
            place = loaded.where(*steps[:2], *steps[2:])  # type: ignore[arg-type]
            target = self.resolver.resolve(reference, loaded.id, place)
            if target is not None:
                self.joins.append((point, target.point))
                self.feeds.append((target.tag, owner, place))
        if not named:
            self.unknown_source(loaded, owner, point, path)

    def control_power(
        self,
        loaded: LoadedBuilding,
        owner: str,
        references: tuple[Reference, ...],
        path: tuple[str, ...],
    ) -> list[str]:
        """Bring control power from elsewhere into the enclosure of `owner`; return its points.

        `path` leads to the record, as in `feed`.
        """
        points = self.control_points.setdefault(owner, [])
        for index, reference in enumerate(references):
            place = loaded.where(path[0], path[1], *path[2:], "control_power_from", index)
            target = self.resolver.resolve(reference, loaded.id, place)
            if target is not None:
                name = f"{owner}/control-{index + 1}"
                points.append(self.points.add(name, owner, "control power terminals"))
                self.joins.append((name, target.point))
                self.control_feeds.append((target.tag, owner, place))
        return points

    def unknown_source(
        self, loaded: LoadedBuilding, owner: str, point: str, path: tuple[str, ...]
    ) -> None:
        """Put a source that nobody knows at a point: it counts like any other."""
        tag = f"{owner}/unknown-source"
        place = loaded.where(path[0], path[1], *path[2:])
        self.sources[tag] = NetworkSource(
            tag, "unknown", (point,), place, f"what feeds {owner.partition(':')[2]}: not recorded"
        )

    def system_at(self, system: NominalSystem | None, *points: str) -> None:
        """Note how many ungrounded conductors there are at points of a recorded system."""
        count = ungrounded(system)
        if count is not None:
            self.system_conductors.update(dict.fromkeys(points, count))

    def temporary(
        self,
        loaded: LoadedBuilding,
        point: str,
        feeds: tuple[TemporaryFeed, ...],
        path: tuple[str, str],
    ) -> None:
        """Join temporary feeds: while they are recorded they are as real as the others."""
        for index, feed in enumerate(feeds):
            place = loaded.where(*path, "temporary_feeds", index, "fed_from")
            target = self.resolver.resolve(feed.fed_from, loaded.id, place)
            if target is not None:
                self.joins.append((point, target.point))

    def crossed(
        self,
        loaded: LoadedBuilding,
        owner: str,
        references: tuple[Reference, ...],
        path: tuple[str, str],
    ) -> None:
        """Note circuits whose conductors pass through an enclosure."""
        for index, reference in enumerate(references):
            place = loaded.where(*path, "crossed_by", index)
            target = self.resolver.resolve(reference, loaded.id, place)
            if target is not None:
                self.crossings.append((owner, target.point))


def terminals(*pairs: tuple[Role, str]) -> tuple[Terminal, ...]:
    """Return terminals at points; the builder puts zones in their place at the end."""
    return tuple(Terminal(role, point) for role, point in pairs)


def why_no_lock(
    locks_open: bool | None, *, electrically_operated: bool | None, draw_out: bool
) -> str:
    """Return why a switching device is no point to lock at; empty where it is one."""
    if electrically_operated and not draw_out:
        return "electrically operated and not drawn out: it can reclose"
    if locks_open is None:
        return "not recorded as lockable"
    return "" if locks_open else "recorded as not lockable"
