"""Random portfolios with what the random networks leave out, and questions about them.

Added are present positions, a second building fed from the first, whom to tell, how grave a load
is, what a battery carries, traces that bear out or contradict a record, and control power and
dependencies across buildings.
"""

from __future__ import annotations

import json
import random
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from recordgen.network.ways import Positions
from recordgen.portfolio import Portfolio
from tests.network.asking import HOME, portfolio
from tests.network.random_records import SOME, Records, portfolios
from tests.planner.running import Asked

ANNEX = "annex"
SINCE = "2026-11-01"
POSITIONS = {
    "transfer switch": ("normal", "emergency", "open"),
    "UPS": ("normal", "bypass", "open"),
    "variable-frequency drive": ("normal", "bypass", "open"),
}
ROLES = ("facilities", "Facilities", "nurse in charge", "fire panel watch")


@dataclass(frozen=True)
class Case:
    """A portfolio's records, those of a second building or none, and what draws the rest."""

    home: Records
    annex: Records | None
    seed: int


def cases(count: int) -> list[Case]:
    """Return that many cases, the same on every run."""
    found: list[Case] = []
    drawing = settings(SOME, max_examples=count, phases=[Phase.generate])

    @drawing
    @given(portfolios(), st.none() | portfolios(), st.integers(0, 2**32))
    def draw(home: Records, annex: Records | None, seed: int) -> None:
        found.append(Case(home, annex, seed))

    draw()
    return found


def loaded(case: Case) -> Portfolio:
    """Return the portfolio of a case, with everything added."""
    rng = random.Random(case.seed)  # noqa: S311 - no secret
    buildings = {HOME: json.loads(json.dumps(case.home))}
    if case.annex is not None:
        outlets = [
            f"{HOME}:{tag}/{position}"
            for tag, panel in case.home["panels"].items()
            for position, circuit in panel["circuits"].items()
            if "spare" not in circuit
        ]
        annex = json.loads(json.dumps(case.annex))
        # Fed from the first building, or beside it with a service of its own.
        for feed in ("UTIL", "UTIL-2"):
            if outlets and feed in annex["sources"] and rng.random() < 0.8:
                del annex["sources"][feed]
                annex = _with_feed(annex, feed, rng.choice(outlets))
        buildings[ANNEX] = annex
    for building, records in buildings.items():
        _add_positions(records, rng)
        _add_standby(records, rng)
        _add_remarks(records, rng)
        _add_traces(records, rng)
        others = [name for name in buildings if name != building]
        _add_dependencies(records, {name: buildings[name] for name in others}, rng)
    texts = {
        name: "".join(f"{key}: {json.dumps(value)}\n" for key, value in records.items())
        for name, records in buildings.items()
    }
    about = ", notify: [{role: Facilities, phone: ext. 7, when: any outage}, {role: porter}]"
    home = texts.pop(HOME)
    with tempfile.TemporaryDirectory() as folder:
        return portfolio(Path(folder), home, about, **texts)


def _with_feed(value: Any, old: str, new: str) -> Any:
    """Return records with one outlet in the place of another."""
    if isinstance(value, dict):
        return {key: _with_feed(inner, old, new) for key, inner in value.items()}
    if isinstance(value, list):
        return [_with_feed(inner, old, new) for inner in value]
    return new if value == old else value


def _circuits(records: Records) -> list[dict[str, Any]]:
    return [c for panel in records["panels"].values() for c in panel["circuits"].values()]


def _loads(records: Records) -> dict[str, dict[str, Any]]:
    inside = {
        tag: load
        for circuit in _circuits(records)
        if isinstance(circuit.get("loads"), dict)
        for tag, load in circuit["loads"].items()
    }
    return records["loads"] | inside


def _add_positions(records: Records, rng: random.Random) -> None:
    def stands(record: dict[str, Any], key: str, positions: tuple[str, ...]) -> None:
        if rng.random() < 0.15:
            record[key] = {"position": rng.choice(positions), "since": SINCE}

    for panel in records["panels"].values():
        if isinstance(panel.get("main"), dict):
            stands(panel, "main_present", ("open", "closed"))
    for circuit in _circuits(records):
        stands(circuit, "present", ("open", "closed"))
    for equipment in records["equipment"].values():
        if equipment["kind"] != "junction box":
            positions = POSITIONS.get(equipment["kind"], ("open", "closed"))
            stands(equipment, "present", positions)


def _add_standby(records: Records, rng: random.Random) -> None:
    generator = records["sources"].get("GEN")
    if generator is not None and rng.random() < 0.7:
        generator["start"] = "automatic"
    for tag, equipment in records["equipment"].items():
        if equipment["kind"] == "UPS" and rng.random() < 0.6:
            records["loads"][f"RACK-{tag}"] = {"kind": "IT", "fed_from": tag}
        if equipment["kind"] == "transfer switch" and rng.random() < 0.7:
            equipment["operation"] = "automatic"
        if equipment["kind"] == "UPS" and rng.random() < 0.5:
            equipment["ride_through"] = rng.choice(("8 min", "12 min"))
        if equipment["kind"] == "motor starter" and rng.random() < 0.3:
            equipment["control_power_from"] = "UTIL" if "UTIL" in records["sources"] else "PV"


def _add_remarks(records: Records, rng: random.Random) -> None:
    for load in _loads(records).values():
        if rng.random() < 0.4:
            load["criticality"] = rng.choice(("life safety", "critical", "routine"))
        if rng.random() < 0.4:
            load["notify"] = rng.sample(ROLES, rng.choice((1, 2)))
        if rng.random() < 0.3:
            load["room"] = rng.choice(("101", "102"))


def _add_traces(records: Records, rng: random.Random) -> None:
    circuits = [
        f"{tag}/{position}" for tag, p in records["panels"].items() for position in p["circuits"]
    ]
    traces = {}
    for number, tag in enumerate(_loads(records)):
        if circuits and rng.random() < 0.3:
            traces[f"T-{number}"] = {
                "date": SINCE,
                "by": "R.T.",
                "purpose": "identify the breaker",
                "load": tag,
                "concluded_circuit": rng.choice(circuits),
            }
    if traces:
        records["traces"] = traces


def _add_dependencies(records: Records, others: dict[str, Records], rng: random.Random) -> None:
    names = [f"{name}:{tag}" for name, there in others.items() for tag in _loads(there)]
    for load in _loads(records).values():
        if names and "depends_on" not in load and rng.random() < 0.2:
            load["depends_on"] = [rng.choice(names)]


def asked_of(case: Case, several: int = 4) -> Asked:
    """Return every device, and some pairs and triples, from both switch positions."""
    found = loaded(case)
    rng = random.Random(case.seed)  # noqa: S311 - no secret
    tags = list(found.network.devices)
    choices = [[tag] for tag in tags]
    if len(tags) > 2:
        choices += [rng.sample(tags, 2 + number % 2) for number in range(several)]
        # With too few poles, what is left is followed conductor by conductor.
        partial = [tag for tag in tags if not found.network.devices[tag].opens_all]
        others = rng.sample(tags, min(several, len(tags)))
        choices += [[tag, other] for tag in partial for other in others if other != tag]
    positions: tuple[Positions, ...] = ("normal", "present")
    return Asked(found, [(choice, each) for each in positions for choice in choices])
