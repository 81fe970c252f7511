"""What the recorded present switch positions change of what goes dark.

An outage happens today, and today a switch may stand where a drawing does not have it. An answer
from the normal positions then leaves out whatever hangs elsewhere for the time being.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

from recordgen.network.feed_path import FeedPaths
from recordgen.network.model import building_of
from recordgen.network.outcomes import OUTCOMES, Outcome
from recordgen.pages.answer_values import DeviceLine, DownstreamAnswer, LeaningLine, LoadLine

if TYPE_CHECKING:
    from recordgen.pages.known import Known
    from recordgen.pages.view import View


@dataclass(frozen=True)
class PresentChange:
    """What is otherwise from the present positions than from the normal ones.

    Attributes
    ----------
    devices : tuple of DeviceLine
        The devices that stand otherwise and have to do with it.
    normal, present : DownstreamAnswer
    more : tuple of LoadLine
        Loads affected only from the present positions.
    otherwise : tuple of LoadLine
        Loads affected from both, as they are from the present ones where that differs.
    fewer : tuple of LoadLine
        Loads affected only from the normal positions, so again when the switches are set back.
    unknown_loads : tuple of str
        Circuits of unknown loads that go dark only from the present positions.
    leaning : tuple of LeaningLine
        What may stop working only from the present positions.
    """

    devices: tuple[DeviceLine, ...]
    normal: DownstreamAnswer
    present: DownstreamAnswer
    more: tuple[LoadLine, ...]
    otherwise: tuple[LoadLine, ...]
    fewer: tuple[LoadLine, ...]
    unknown_loads: tuple[str, ...]
    leaning: tuple[LeaningLine, ...]

    def by_outcome(self) -> Iterator[tuple[Outcome, list[LoadLine]]]:
        """Yield outcome and the loads that it is new for, gravest first."""
        new = [*self.more, *self.otherwise]
        for outcome in OUTCOMES:
            lines = [line for line in new if line.outcome == outcome]
            if lines:
                yield outcome, lines


def standing_otherwise(known: Known) -> tuple[str, ...]:
    """Return full tags of the devices that are recorded as not standing in the normal position."""
    return tuple(tag for tag, device in known.network.devices.items() if device.present)


def concerned(view: View, building: str) -> bool:
    """Say whether recorded present positions could change an answer about a building."""
    tags = standing_otherwise(view.answers)
    # A transfer switch on its emergency side says that standby sources run, wherever it is.
    if any(view.network.devices[tag].present == "emergency" for tag in tags):
        return True
    own = view.network_digest(building)
    return any(view.network_digest(building_of(tag)) == own for tag in tags)


def present_change(
    known: Known, paths: FeedPaths, normal: DownstreamAnswer, present: DownstreamAnswer
) -> PresentChange | None:
    """Return what the present positions change of an answer, or None where it is the same.

    Parameters
    ----------
    known : Known
    paths : FeedPaths
        The ways from the present positions.
    normal, present : DownstreamAnswer
        To the same question.
    """
    before = {line.tag: line for line in normal.loads}
    now = {line.tag: line for line in present.loads}
    more = tuple(line for line in present.loads if line.tag not in before)
    fewer = tuple(line for line in normal.loads if line.tag not in now)
    otherwise = tuple(
        line
        for line in present.loads
        if line.tag in before and _fate(line) != _fate(before[line.tag])
    )
    circuits = tuple(tag for tag in present.unknown_loads if tag not in normal.unknown_loads)
    leaning = tuple(one for one in present.leaning if one not in normal.leaning)
    less = set(normal.unknown_loads) - {*present.unknown_loads} or set(normal.leaning) - {
        *present.leaning
    }
    if not (more or fewer or otherwise or circuits or leaning or less):
        return None
    changed = [line.tag for line in (*more, *otherwise, *fewer)]
    return PresentChange(
        devices=tuple(map(known.device_line, _concerning(known, paths, changed))),
        normal=normal,
        present=present,
        more=more,
        otherwise=otherwise,
        fewer=fewer,
        unknown_loads=circuits,
        leaning=leaning,
    )


def _fate(line: LoadLine) -> tuple[str, str]:
    return line.outcome, line.detail


def _concerning(known: Known, present: FeedPaths, loads: Iterable[str]) -> tuple[str, ...]:
    """Return the devices that stand otherwise on a way to some loads; all, where none is."""
    moved = standing_otherwise(known)
    normal = known.portfolio.feed_paths
    ways = [way for load in loads for paths in (normal, present) for way in paths.of_load(load)]
    on_a_way = {tag for way in ways for tag in way.devices}
    return tuple(tag for tag in moved if tag in on_a_way) or moved
