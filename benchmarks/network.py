"""Run `python -m benchmarks.network [LOADS ...]`: the two answers on networks of that many loads.

Records are made in memory, without files, so that only the network is measured: put together, the
downstream list of every device, the locks of every panel. Each size runs in a process of its own.
"""

from __future__ import annotations

import math
import random
import resource
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from multiprocessing import get_context
from typing import Any

SIZES = (30_000, 300_000)
PANELS_A_BUILDING = 13
CIRCUITS_A_PANEL = 42
LOADS_A_CIRCUIT = 5
LOADS_A_BUILDING = PANELS_A_BUILDING * CIRCUITS_A_PANEL * LOADS_A_CIRCUIT


@dataclass(frozen=True)
class Step:
    """What was measured: seconds of the processor, and what came out."""

    name: str
    cpu_s: float
    made: str


def main(sizes: tuple[int, ...]) -> None:
    print("   loads  step        CPU s  growth  made", flush=True)
    before: dict[str, tuple[int, float]] = {}
    for size in sizes:
        with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as process:
            steps, peak_mb = process.submit(measured, size).result()
        for step in steps:
            growth = ""
            if step.name in before:
                smaller, took = before[step.name]
                growth = f"{math.log(step.cpu_s / took) / math.log(size / smaller):.2f}"
            before[step.name] = (size, step.cpu_s)
            print(f"{size:8}  {step.name:10} {step.cpu_s:6.1f}  {growth:>6}  {step.made}")
        print(f"{size:8}  peak memory {peak_mb:,.0f} MB", flush=True)


def measured(loads: int) -> tuple[list[Step], float]:
    """Return the steps for a network of about that many loads, and the peak memory [MB]."""
    from recordgen.network.build import build_network
    from recordgen.network.downstream import downstream
    from recordgen.network.hazard import Hazard
    from recordgen.network.isolation import isolate, target_of
    from recordgen.network.supply import Supply

    buildings = {b.id: b for b in _buildings(max(1, round(loads / LOADS_A_BUILDING)))}
    steps = []
    started = time.process_time()

    def step(name: str, made: str) -> None:
        nonlocal started
        now = time.process_time()
        steps.append(Step(name, now - started, made))
        started = time.process_time()

    network, problems = build_network(buildings)
    assert not problems, problems[0]
    step("build", f"{len(network.devices):,} devices, {len(network.loads):,} loads")
    supply, hazard = Supply(network), Hazard(network)
    trees = len(supply.dominators)
    step("trees", f"{trees} dominator trees, {len(network.hazard):,} nodes")
    listed = sum(len(downstream(supply, hazard, [tag]).affected) for tag in network.devices)
    step("downstream", f"{len(network.devices):,} lists, {listed:,} lines")
    panels = [
        f"{name}:{tag}" for name, building in buildings.items() for tag in building.records.panels
    ]
    locks = sum(len(isolate(hazard, target_of(network, tag)).points) for tag in panels)
    step("isolation", f"{len(panels):,} panels, {locks:,} locks")
    return steps, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def _buildings(count: int) -> Iterator[Any]:
    from recordgen.problems import Location
    from recordgen.records.building import BuildingRecords
    from recordgen.records.loader import LoadedBuilding

    nowhere = Location("generated", 1, 1)

    class InMemory(LoadedBuilding):
        """Records that were never written: every place is the same."""

        def where(self, *_: object) -> Location:
            return nowhere

        def where_key(self, *_: object) -> Location:
            return nowhere

    rng = random.Random(11)
    for number in range(count):
        records = BuildingRecords.model_validate(_records(number, rng))
        yield InMemory(f"b{number:04d}", records)


def _records(number: int, rng: random.Random) -> dict[str, Any]:
    """Return a building: two switchboards with a tie, standby, UPS, array, panels, dual feeds."""
    feed = f"b{number - 1:04d}:MSB-A/40" if number % 5 == 4 else "UTIL"
    sources: dict[str, Any] = {
        "GEN": {"kind": "generator", "start": "automatic", "system": "480Y/277"},
        "PV": {"kind": "photovoltaic", "system": "480Y/277"},
        "UTIL-2": {"kind": "utility", "system": "480Y/277"},
    }
    if feed == "UTIL":
        sources["UTIL"] = {"kind": "utility", "system": "480Y/277"}
    panels: dict[str, Any] = {
        "MSB-A": _board(feed, 30, {"backfed_from": "PV"}),
        "MSB-B": _board("UTIL-2", 30, {}),
        "EHP": _board("ATS", 10, {}),
    }
    equipment: dict[str, Any] = {
        "TIE": {"kind": "bus tie", "between": ["MSB-A", "MSB-B"], "lockable": "yes"},
        "ATS": {
            "kind": "transfer switch",
            "normal_from": "MSB-A/1",
            "emergency_from": "GEN",
            "operation": "automatic",
        },
        "UPS": {"kind": "UPS", "fed_from": "EHP/1", "static_bypass_from": "EHP/2"},
    }
    for panel in range(PANELS_A_BUILDING):
        board = ("MSB-A", "MSB-B", "EHP")[panel % 3]
        equipment[f"T-{panel}"] = {
            "kind": "transformer",
            "fed_from": f"{board}/{3 + panel // 3}",
            "secondary": "208Y/120",
        }
        panels[f"LP-{panel}"] = _panel(panel, rng)
    loads = {
        f"RACK-{panel}": {"kind": "IT", "fed_from": ["UPS", f"LP-{panel}/1"], "needs": "any"}
        for panel in range(0, PANELS_A_BUILDING, 2)
    }
    return {
        "building": {"name": f"Building {number}"},
        "sources": sources,
        "panels": panels,
        "equipment": equipment,
        "loads": loads,
    }


def _board(feed: str, circuits: int, last: dict[str, Any]) -> dict[str, Any]:
    positions: dict[str, Any] = {str(n): {"loads": "none"} for n in (*range(1, circuits), 40)}
    positions[str(circuits)] = {"loads": "none", **last}
    return {
        "kind": "switchboard",
        "system": "480Y/277",
        "lockable": "yes",
        "main": "1600 A",
        "fed_from": feed,
        "circuits": positions,
    }


def _panel(panel: int, rng: random.Random) -> dict[str, Any]:
    circuits = {}
    for position in range(1, CIRCUITS_A_PANEL + 1):
        loads = {f"L{panel}-{position}-{n}": {"kind": "other"} for n in range(LOADS_A_CIRCUIT)}
        circuit: dict[str, Any] = {"device": "20 A", "loads": loads}
        if position > 2 and rng.randrange(20) == 0:
            circuit["neutral_shared_with"] = [str(position - 2)]
        circuits[str(position)] = circuit
    return {
        "kind": "panelboard",
        "system": "208Y/120",
        "lockable": "yes",
        "main": "225 A",
        "fed_from": f"T-{panel}",
        "circuits": circuits,
    }


if __name__ == "__main__":
    main(tuple(int(size) for size in sys.argv[1:]) or SIZES)
