"""Dominator trees and ways through a network, held against their definitions.

A node governs another where the other is not reached without it: that is the definition of
dominance, and is tried here node by node with plain walks (networkx' reachability).
"""

import networkx as nx
from hypothesis import given
from hypothesis import strategies as st

from recordgen.network.dominators import ROOT, Dominators
from recordgen.network.feed_path import FeedPaths
from recordgen.network.hazard import Hazard
from recordgen.portfolio import Portfolio
from tests.network.random_records import FEW, SOME, Records, load, portfolios


@st.composite
def digraphs(draw: st.DrawFn) -> nx.DiGraph:
    """Return a small directed graph with a root, and parts that the root may not reach."""
    nodes = [ROOT, *"abcdefgh"]
    pairs = st.tuples(st.sampled_from(nodes), st.sampled_from(nodes[1:]))
    graph = nx.DiGraph()
    graph.add_nodes_from(nodes)
    graph.add_edges_from(draw(st.lists(pairs, max_size=22)))
    graph.remove_edges_from(list(nx.selfloop_edges(graph)))
    return graph


def reached(graph: nx.DiGraph, without: str | None = None) -> set[str]:
    part = graph.subgraph(node for node in graph if node != without)
    return nx.descendants(part, ROOT) if ROOT in part else set()


@SOME
@given(digraphs())
def test_a_node_governs_what_is_not_reached_without_it(graph: nx.DiGraph) -> None:
    tree = Dominators(graph)
    everything = reached(graph)
    for node in set(graph) - {ROOT}:
        assert tree.supplied(node) == (node in everything)
        lost = everything - reached(graph, without=node) - {node} if node in everything else set()
        assert set(tree.below(node)) == lost
        assert len(tree.below(node)) == len(lost)
        for other in set(graph) - {ROOT}:
            governed = node in everything and (other in lost or other == node)
            assert tree.governs(node, other) == governed


@SOME
@given(digraphs())
def test_what_governs_a_node_is_listed_from_next_to_it_up(graph: nx.DiGraph) -> None:
    tree = Dominators(graph)
    for node in reached(graph):
        above = tree.above(node)
        assert set(above) == {
            other
            for other in reached(graph)
            if other != node and node not in reached(graph, without=other)
        }
        # Each governs those before it.
        assert all(
            tree.governs(far, near) for near, far in zip([node, *above], above, strict=False)
        )


@SOME
@given(digraphs())
def test_a_branch_is_closed_where_nothing_new_is_reached_from_it(graph: nx.DiGraph) -> None:
    """Where all opened nodes but one are closed below, what is lost is the union."""
    tree = Dominators(graph)
    everything = sorted(reached(graph))
    for first in everything:
        for second in everything:
            if first == second or not tree.closed_below(first):
                continue
            part = graph.subgraph(set(graph) - {first, second})
            lost = set(everything) - nx.descendants(part, ROOT) - {first, second}
            union = {*tree.below(first), *tree.below(second)} - {first, second}
            assert union == lost, (first, second)


def test_a_diamond_is_not_closed_below_either_arm() -> None:
    # ROOT to a and b, both to c: c is lost when both are opened, and below neither.
    graph = nx.DiGraph([(ROOT, "a"), (ROOT, "b"), ("a", "c"), ("b", "c"), ("c", "d")])
    tree = Dominators(graph)
    assert (tree.below("a"), tree.below("b")) == ([], [])
    assert not tree.closed_below("a")
    assert not tree.closed_below("b")
    assert tree.closed_below("c")
    assert tree.below("c") == ["d"]


def test_an_arc_back_to_where_supply_comes_from_leads_nowhere_new() -> None:
    graph = nx.DiGraph([(ROOT, "a"), ("a", "b"), ("b", "a"), ("b", "c"), ("c", "b")])
    tree = Dominators(graph)
    assert all(tree.closed_below(node) for node in "abc")
    assert tree.below("a") == ["b", "c"]


def paths_hold(found: Portfolio) -> None:
    """Hold the feed paths of all loads against shortest paths found by networkx."""
    paths = FeedPaths(found.supply)
    normal = found.supply.normal
    distance = nx.single_source_shortest_path_length(normal, ROOT)
    for load_tag, record in found.network.loads.items():
        told = paths.of_load(load_tag)
        zones = [zone for group in record.groups for zone in group]
        first = [path for path in told if not path.standby]
        assert len(first) == len(zones)
        for zone, path in zip(zones, first, strict=True):
            if zone not in distance:
                assert (path.source, path.devices) == (None, ())
                continue
            assert path.source is not None
            # Every device is on a real way from the source, in order, and the way is a shortest.
            steps = [path.source, *path.devices, zone]
            hops = [nx.shortest_path_length(normal, a, b) for a, b in nx.utils.pairwise(steps)]
            assert 1 + sum(hops) == distance[zone]
        utilities = {t for t, s in found.network.sources.items() if s.kind == "utility"}
        assert not utilities.intersection(path.source for path in told if path.standby)


@FEW
@given(portfolios())
def test_feed_paths_are_shortest_ways_from_a_source(records: Records) -> None:
    paths_hold(load(records))


def finder_holds(hazard: Hazard, opened: list[str]) -> None:
    """Hold the finder's answers for every node against a walk of the graph without the opened."""
    network = hazard.network
    closed = network.hazard.subgraph(set(network.hazard) - set(opened))
    alive = set().union(*(nx.node_connected_component(closed, tag) for tag in network.sources))
    find = hazard.path_finder(opened)
    reaches = hazard.reacher(opened)
    for node in network.hazard:
        found = find(node)
        assert (found is not None) == reaches(node) == (node in alive), node
        if found is not None:
            assert found[0] in network.sources
            assert found[-1] == node
            assert nx.is_path(closed, found)
            assert len(set(found)) == len(found)


@FEW
@given(portfolios(), st.data())
def test_the_path_finder_agrees_with_a_plain_walk(records: Records, draw: st.DataObject) -> None:
    hazard = load(records).hazard
    devices = sorted(hazard.network.devices)
    for size in (0, 1, 2, 4, len(devices) // 2, len(devices)):
        finder_holds(hazard, draw.draw(st.permutations(devices))[:size])


@FEW
@given(portfolios())
def test_the_sources_of_a_node_are_all_that_lead_to_it(records: Records) -> None:
    hazard = load(records).hazard
    graph = hazard.network.hazard
    for part in nx.connected_components(graph):
        leading = part.intersection(hazard.network.sources)
        assert all(set(hazard.sources_of(node)) == leading for node in part)


def test_the_demo_s_feed_paths(demo: Portfolio) -> None:
    assert len(demo.network.loads) > 600
    paths_hold(demo)


def test_the_demo_s_path_finder(demo: Portfolio) -> None:
    mains = [tag for tag, d in demo.network.devices.items() if d.kind == "main device"]
    assert len(mains) > 5
    for opened in ([], mains[:1], mains):
        finder_holds(demo.hazard, opened)


def test_the_demo_s_dominators(demo: Portfolio) -> None:
    graph, tree = demo.supply.automatic, demo.supply.dominators["automatic"]
    everything = reached(graph)
    switchgear = [t for t, d in demo.network.devices.items() if d.kind != "circuit device"]
    for device in set(switchgear) & everything:
        lost = everything - reached(graph, without=device) - {device}
        assert set(tree.below(device)) == lost, device
