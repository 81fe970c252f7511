"""Larger random records, the same for the same seed: a campus with loops, ties and several sources.

Made for cuts: feeders side by side, rings, second services, generators, arrays and storage far out,
shared neutrals, control power from elsewhere, and much that cannot be locked.
"""

import random
from typing import Any

from tests.network.random_records import Records


def campus(seed: int, panels: int) -> Records:
    """Return the records of a campus with some panels."""
    rng = random.Random(seed)  # noqa: S311  # repeatable on purpose
    records: Records = {"sources": {}, "panels": {}, "equipment": {}, "loads": {}}
    records["sources"]["UTIL"] = {"kind": "utility"}
    if rng.random() < 0.6:
        records["sources"]["UTIL-2"] = {"kind": "utility"}
    outlets = list(records["sources"])
    for number in range(panels):
        _panel(records, rng, f"P{number}", outlets)
        if rng.random() < 0.25:
            _source(records, rng, number)
        if number and rng.random() < 0.2:
            _equipment(records, rng, f"E{number}", outlets)
        if number > 1 and rng.random() < 0.15:
            ends = rng.sample(list(records["panels"]), 2)
            tie = {"kind": "bus tie", "between": ends, **_lockable(rng)}
            records["equipment"][f"TIE{number}"] = tie | _normal(rng, "closed")
    for number in range(panels // 2):
        feeds = rng.sample(outlets, min(len(outlets), rng.choice((1, 2, 2, 3))))
        load: dict[str, Any] = {"kind": "HVAC", "fed_from": feeds, "needs": "any"}
        if rng.random() < 0.4:
            load["control_power_from"] = rng.choice(outlets)
        records["loads"][f"L{number}"] = load
    return records


def _lockable(rng: random.Random) -> dict[str, str]:
    said = rng.choice(("yes", "yes", "yes", "no", None))
    return {} if said is None else {"lockable": said}


def _normal(rng: random.Random, other: str) -> dict[str, str]:
    return {"normal": other} if rng.random() < 0.3 else {}


def _panel(records: Records, rng: random.Random, tag: str, outlets: list[str]) -> None:
    feeds = [rng.choice(outlets[-12:])]
    own = feeds[0].partition("/")[0]
    if rng.random() < 0.25:
        # A second feeder beside the first, or from somewhere else.
        beside = [o for o in outlets if o.startswith(f"{own}/") and o not in feeds]
        feeds.append(rng.choice(beside or outlets))
    panel: dict[str, Any] = {"kind": "switchboard", "fed_from": list(dict.fromkeys(feeds))}
    panel |= _lockable(rng)
    panel["main"] = rng.choice(("lugs", {"rating": "400 A", **_lockable(rng)}))
    panel["circuits"] = {}
    for number in range(1, rng.randint(2, 5)):
        circuit: dict[str, Any] = {"device": {"rating": "60 A", **_lockable(rng)}, "loads": {}}
        circuit |= _normal(rng, "open")
        if number > 1 and rng.random() < 0.15:
            circuit["neutral_shared_with"] = [f"{tag}/{number - 1}"]
        panel["circuits"][str(number)] = circuit
        outlets.append(f"{tag}/{number}")
    records["panels"][tag] = panel


def _source(records: Records, rng: random.Random, number: int) -> None:
    kind = rng.choice(("generator", "photovoltaic", "battery storage"))
    records["sources"][f"S{number}"] = {"kind": kind}
    panel = records["panels"][rng.choice(list(records["panels"]))]
    panel["circuits"]["9"] = {
        "device": {"rating": "60 A", **_lockable(rng)},
        "loads": {},
        "backfed_from": f"S{number}",
    }


def _equipment(records: Records, rng: random.Random, tag: str, outlets: list[str]) -> None:
    kind = rng.choice(("transfer switch", "UPS", "transformer", "disconnect"))
    found: dict[str, Any] = {"kind": kind}
    if kind == "transfer switch":
        normal, emergency = rng.sample(outlets, 2)
        found |= {"normal_from": normal, "emergency_from": emergency}
    else:
        found["fed_from"] = rng.choice(outlets[-12:])
    if kind == "disconnect":
        found |= _lockable(rng)
    records["equipment"][tag] = found
    outlets.append(tag)
