"""Starters whose control power comes from elsewhere: without it they drop out.

In the starter's enclosure that power is one more source; for the loads behind it, one more thing
they need.
"""

from __future__ import annotations

from recordgen.network.draft import Draft


def control_of_starters(draft: Draft) -> dict[str, list[str]]:
    """Return what the loads need of the control power of starters above them.

    Parameters
    ----------
    draft : Draft
        With everything added.

    Returns
    -------
    dict
        Full tag of a load → control power points of every starter that all its power comes
        through. Above a load, panel or equipment with several feeds nothing is followed: there a
        starter that drops out leaves another way.
    """
    feeders: dict[str, list[str]] = {}
    for feeder, fed, _ in draft.feeds:
        feeders.setdefault(fed, []).append(feeder.split("/")[0])
    above: dict[str, list[str]] = {}
    found: dict[str, list[str]] = {}
    for tag, load in draft.loads.items():
        one_way = len(load.circuits) == 1 or all(len(group) == 1 for group in load.groups)
        needed = dict.fromkeys(
            point
            for circuit in (load.circuits if one_way else ())
            for point in _needed(draft, feeders, above, circuit.split("/")[0])
        )
        if needed:
            found[tag] = list(needed)
    return found


def _needed(
    draft: Draft, feeders: dict[str, list[str]], above: dict[str, list[str]], owner: str
) -> list[str]:
    """Return the control points of a panel or piece of equipment and of all above it."""
    way: list[str] = []
    here: str | None = owner
    while here is not None and here not in above and here not in way:
        way.append(here)
        parents = feeders.get(here, [])
        here = parents[0] if len(parents) == 1 else None
    points = above.get(here, []) if here is not None else []
    for tag in reversed(way):
        points = [*draft.control_points.get(tag, ()), *points]
        above[tag] = points
    return above[owner]
