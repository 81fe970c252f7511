"""From records to a diagram: everything that feeds or is fed is on it, drawn or named."""

from collections.abc import Iterator
from pathlib import Path

from recordgen.pages.diagram.parts import Node
from recordgen.pages.diagram.sheets import PAPER_PX, SCREEN_PX, sheets
from recordgen.pages.diagram.tree import Trees
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from tests.network.asking import portfolio
from tests.pages.diagram.geometry import flaws

HOUSE = """
sources:
  UTIL: {kind: utility, system: 480Y/277, rating: 500 kVA}
  GEN: {kind: generator, system: 480Y/277, start: automatic}
  PV: {kind: photovoltaic, system: 480Y/277}
panels:
  MSB:
    kind: switchboard
    system: 480Y/277
    main: 800 A
    fed_from: UTIL
    circuits:
      1: {device: {rating: 200 A, poles: 3}}
      2: {device: {rating: 100 A, poles: 3}, backfed_from: DS-PV}
      3: {device: {rating: 60 A, poles: 3, kind: fuse}, loads: {CH-1: {kind: motor, power: 40 hp}}}
      4: {device: {rating: 60 A, poles: 3}, normal: open}
  EDP:
    kind: switchboard
    main: lugs
    fed_from: GEN
    circuits: {1: {device: {rating: 200 A, poles: 3}}}
  LP-1:
    kind: panelboard
    main: lugs
    fed_from: ATS
    circuits: {1: {device: 20 A}, 3: {device: 20 A}, 5: spare}
  LOST: {kind: panelboard, main: lugs, fed_from: unknown}
equipment:
  ATS: {kind: transfer switch, normal_from: MSB/1, emergency_from: EDP/1, operation: automatic}
  DS-PV: {kind: disconnect, fed_from: PV}
  TIE: {kind: bus tie, between: [MSB/4, EDP]}
"""
ANNEX = """
panels:
  AP: {kind: panelboard, main: lugs, fed_from: "home:LP-1/1"}
"""


def trees(found: Portfolio, building: str = "home") -> tuple[Node, ...]:
    view = View(found)
    stopped = {p for tag in found.problems_of for p in found.problems_of[tag]}
    return Trees(
        found.study.distribution,
        building,
        view.canonical,
        lambda tag: any(p.severity == "stop" for p in stopped if tag in p.subjects),
    ).roots


def nodes(roots: tuple[Node, ...]) -> dict[str, Node]:
    return {node.tag.partition(":")[2]: node for node in _walk(roots) if node.symbol != "way"}


def _walk(roots: tuple[Node, ...]) -> Iterator[Node]:
    for root in roots:
        yield from root.walk()


def test_sources_stand_at_the_top_and_a_backfeeding_one_below_its_circuit(tmp_path: Path) -> None:
    roots = trees(portfolio(tmp_path, HOUSE))
    assert [root.name for root in roots] == ["UTIL", "GEN", "source not recorded"]
    found = nodes(roots)
    (pv,) = found["DS-PV"].children
    assert (pv.symbol, pv.name) == ("photovoltaic", "PV")
    assert [switch.name for switch in found["DS-PV"].switches] == ["2"]


def test_what_nobody_knows_the_feed_of_says_so(tmp_path: Path) -> None:
    lost = trees(portfolio(tmp_path, HOUSE))[-1]
    assert lost.stop
    assert [child.name for child in lost.children] == ["LOST"]


def test_both_ends_of_a_second_feed_and_of_a_tie_are_named(tmp_path: Path) -> None:
    roots = trees(portfolio(tmp_path, HOUSE))
    found = nodes(roots)
    assert [way.lines for way in found["ATS"].ways] == [("emergency", "from EDP/1")]
    ends = {node.ways[0].lines: node for node in _walk(roots) if node.symbol == "way"}
    assert {("to ATS", "emergency"), ("to EDP", "tie")} == set(ends)
    assert [s.name for s in ends["to ATS", "emergency"].switches] == ["1"]
    tie = ends["to EDP", "tie"].switches
    assert [(s.name, s.open) for s in tie] == [("4", True), ("TIE", True)]
    assert [way.lines for way in found["EDP"].ways] == [("tie", "from MSB/4")]


def test_devices_carry_kind_rating_and_state(tmp_path: Path) -> None:
    found = nodes(trees(portfolio(tmp_path, HOUSE)))
    (main,) = found["MSB"].switches
    assert (main.name, main.lines, main.symbol) == ("main", ("800 A",), "breaker")
    (fuse,) = found["CH-1"].switches
    assert (fuse.symbol, fuse.lines) == ("fuse", ("60 A 3P fuse",))
    assert found["CH-1"].symbol == "motor"


def test_branch_circuits_are_counted_and_spares_are_none(tmp_path: Path) -> None:
    lp = nodes(trees(portfolio(tmp_path, HOUSE)))["LP-1"]
    assert lp.name == "2 branch circuits"  # its last node by that tag


def test_a_feed_across_buildings_is_named_on_both(tmp_path: Path) -> None:
    found = portfolio(tmp_path, HOUSE, annex=ANNEX)
    here = nodes(trees(found))
    assert any(node.symbol == "elsewhere" and node.name == "annex:AP" for node in here.values())
    (root,) = trees(found, "annex")
    assert (root.symbol, root.name) == ("elsewhere", "home:LP-1/1")


def test_every_panel_source_and_piece_of_equipment_of_the_demo_is_on_its_diagram(
    demo: Portfolio,
) -> None:
    for building, loaded in demo.buildings.items():
        roots = trees(demo, building)
        shown = set(nodes(roots)) | {s.name for node in _walk(roots) for s in node.switches}
        records = loaded.records
        wanted = {*records.sources, *records.panels, *records.equipment}
        assert wanted <= shown, building


def test_nothing_overlaps_on_the_sheets_of_the_demo(demo: Portfolio) -> None:
    for building in demo.buildings:
        for widest in (SCREEN_PX, PAPER_PX):
            for sheet in sheets(trees(demo, building), widest):
                assert list(flaws(sheet.drawing)) == [], (building, sheet.tag)
