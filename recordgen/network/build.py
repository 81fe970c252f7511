"""From the records of a portfolio to its network, or to errors that name both places."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product

import networkx as nx

from recordgen.network.apparatus import add_equipment, add_sources
from recordgen.network.assemblies import add_panels
from recordgen.network.consumers import add_loads
from recordgen.network.cross_references import dependencies
from recordgen.network.draft import Draft
from recordgen.network.model import Coupling, CouplingKind, Network, Terminal
from recordgen.network.poles import mark_partial_devices
from recordgen.network.positions import position_problems
from recordgen.network.references import Resolver
from recordgen.network.starters import control_of_starters
from recordgen.problems import Location, Problem
from recordgen.records.loader import LoadedBuilding


def build_network(
    buildings: Mapping[str, LoadedBuilding],
) -> tuple[Network, list[Problem]]:
    """Assemble the network of all buildings.

    Parameters
    ----------
    buildings : mapping
        Building id → its records.

    Returns
    -------
    Network
        Complete only where no problem is an error.
    list of Problem
        Dangling references, feed cycles, devices that do not fit their positions.
    """
    problems: list[Problem] = []
    draft = Draft(Resolver(buildings, problems), problems)
    for loaded in buildings.values():
        problems.extend(position_problems(loaded))
        add_sources(draft, loaded)
        add_panels(draft, loaded)
        add_equipment(draft, loaded)
        add_loads(draft, loaded)
    for first, second in draft.joins:
        draft.points.join(first, second)
    for enclosure, point in draft.crossings:
        draft.points.cross(enclosure, point)
    problems.extend(feed_cycles(draft.feeds))
    network = _finished(draft)
    network.depends = dependencies(buildings)
    return network, problems


def _finished(draft: Draft) -> Network:
    zone_of, zones, enclosures = draft.points.zones()
    network = Network(zones=zones, enclosures=enclosures)
    for tag, device in draft.devices.items():
        ends = tuple(Terminal(t.role, zone_of[t.zone]) for t in device.terminals)
        network.devices[tag] = replace(device, terminals=ends)
        if device.kind == "circuit device":
            network.circuit_zone[tag] = zone_of[tag]
    for tag, together in _handles_tied(network).items():
        network.devices[tag] = replace(network.devices[tag], opens_with=together)
    for tag, source in draft.sources.items():
        network.sources[tag] = replace(source, zones=tuple(zone_of[p] for p in source.zones))
    mark_partial_devices(
        network,
        _most(draft.system_conductors, zone_of),
        _most(draft.circuit_conductors, zone_of),
    )
    starters = control_of_starters(draft)
    for tag, load in draft.loads.items():
        network.loads[tag] = replace(
            load,
            groups=tuple(
                tuple(zone_of[p] for p in group)
                for group in (*load.groups, *((p,) for p in starters.get(tag, ())))
            ),
            zones=tuple(dict.fromkeys(zone_of[p] for p in load.zones)),
        )
    beyond = _beyond_disconnects(network)
    for kind, first, second in draft.couplings:
        text = f"{kind} of {_plain(first)} and {_plain(second)}"
        near, far = [zone_of[first]], [zone_of[second]]
        if kind == "shared neutral":
            near, far = _with_same_neutral(beyond, near), _with_same_neutral(beyond, far)
        for pair in product(near, far):
            _couple(network, kind, pair, text, (first, second))
    network.fed_by = _fed_by(draft)
    network.unknown_load_circuits = {
        tag: said
        for tag, said in draft.unknown_load_circuits.items()
        if said or not _serves_something(network, tag)
    }
    network.hazard.update(_hazard_graph(network))
    return network


def _handles_tied(network: Network) -> dict[str, tuple[str, ...]]:
    """Return device → all that opens with it, one tie leading to the next, in order of records."""
    ties: nx.Graph[str] = nx.Graph()
    for tag, device in network.devices.items():
        ties.add_edges_from((tag, other) for other in device.opens_with)
    found = {}
    order = {tag: index for index, tag in enumerate(network.devices)}
    for part in nx.connected_components(ties):
        ordered = sorted(part, key=order.__getitem__)
        found.update({tag: tuple(t for t in ordered if t != tag) for tag in ordered})
    return found


def _most(at_points: Mapping[str, int], zone_of: Mapping[str, str]) -> dict[str, int]:
    """Return zone → the largest of the numbers at its points."""
    found: dict[str, int] = {}
    for point, number in at_points.items():
        zone = zone_of[point]
        found[zone] = max(number, found.get(zone, 0))
    return found


def _couple(
    network: Network,
    kind: CouplingKind,
    zones: tuple[str, str],
    text: str,
    ends: tuple[str, str],
) -> None:
    first, second = sorted(zones)
    name = f"~{kind}{first}{second}"
    before = network.couplings.get(name, Coupling(name, kind, (first, second), text, ()))
    if ends not in before.ends:
        network.couplings[name] = replace(before, ends=(*before.ends, ends))


def _beyond_disconnects(network: Network) -> dict[str, list[str]]:
    """Return line-side zone → load-side zones of the disconnects there."""
    found: dict[str, list[str]] = {}
    for device in network.devices.values():
        line, load = device.zone_at("line"), device.zone_at("load")
        if device.kind in ("disconnect", "local disconnect") and line and load:
            found.setdefault(line, []).append(load)
    return found


def _with_same_neutral(beyond: dict[str, list[str]], zones: list[str]) -> list[str]:
    """Return a circuit's zone and those beyond its disconnects, which do not open the neutral."""
    found = list(zones)
    for zone in found:
        found += [z for z in beyond.get(zone, ()) if z not in found]
    return found


def _plain(point: str) -> str:
    return point.partition(":")[2]


def _fed_by(draft: Draft) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for feeder, fed, _ in (*draft.feeds, *draft.control_feeds):
        found.setdefault(feeder, []).append(fed)
    return {feeder: list(dict.fromkeys(fed)) for feeder, fed in found.items()}


def _serves_something(network: Network, tag: str) -> bool:
    """Say whether anything but the circuit's own device is known on its load side."""
    if tag in network.fed_by:
        return True
    zone = network.zones[network.circuit_zone[tag]]
    return sum(len(names) for names in zone.labels.values()) > 1


def _hazard_graph(network: Network) -> nx.Graph[str]:
    graph: nx.Graph[str] = nx.Graph()
    graph.add_nodes_from(network.zones)
    for device in network.devices.values():
        graph.add_edges_from((device.tag, zone) for zone in device.zones)
    for coupling in network.couplings.values():
        graph.add_edges_from((coupling.id, zone) for zone in coupling.zones)
    for source in network.sources.values():
        graph.add_edges_from((source.tag, zone) for zone in source.zones)
    return graph


def feed_cycles(feeds: list[tuple[str, str, Location]]) -> Iterator[Problem]:
    """Yield an error for each knot of things that feed each other, with its members in order.

    Parameters
    ----------
    feeds : list
        (full tag of the feeder or its circuit, full tag of the fed, place of the record).
    """
    graph: nx.DiGraph[str] = nx.DiGraph()
    for feeder, fed, place in feeds:
        graph.add_edge(feeder.split("/")[0], fed, place=place, via=feeder)
    for knot in nx.strongly_connected_components(graph):
        part = graph.subgraph(knot)
        if not part.edges:
            continue
        cycle = nx.find_cycle(part, source=min(knot))
        places = [graph.edges[edge[0], edge[1]]["place"] for edge in cycle]
        names = [graph.edges[edge[0], edge[1]]["via"] for edge in cycle]
        start = min(range(len(places)), key=lambda i: places[i])
        ring = [*names[start:], *names[:start]]
        yield Problem(
            "error",
            "feed-cycle",
            f"these feed each other in a ring: {' → '.join([*ring, ring[0]])}",
            places[start],
            "one of them is fed from somewhere else; a tie between buses is a `bus tie`",
            related=tuple(place for i, place in enumerate(places) if i != start),
        )
