"""Which thing hangs on which, on records of a few lines."""

from pathlib import Path

from recordgen.calc.study.distribution import Distribution
from tests.network.asking import portfolio

RECORDS = """
sources:
  UTIL: {kind: utility, system: 480Y/277}
  GEN: {kind: generator, system: 480Y/277, start: automatic}
panels:
  MSB:
    kind: switchboard
    system: 480Y/277
    fed_from: UTIL
    feeder: {size: 500 kcmil Cu, length: 50 ft}
    circuits:
      1: {device: {rating: 100 A, poles: 3}, conductors: {size: 3 AWG Cu, length: 90 ft}}
      2: {device: {rating: 60 A, poles: 3}}
      3: {device: {rating: 60 A, poles: 3}, normal: open}
  EDP: {kind: switchboard, system: 480Y/277, fed_from: GEN, circuits: {1: {}}}
  LP:
    kind: panelboard
    system: 208Y/120
    fed_from: T-1
    circuits:
      1: {loads: {ON-A: {kind: other}}}
      2-4: {loads: {ON-AB: {kind: other}}}
      5: {}
  EP: {kind: panelboard, system: 480Y/277, fed_from: ATS, circuits: {1-3-5: {}}}
equipment:
  T-1: {kind: transformer, fed_from: MSB/1, primary: 480 delta, secondary: 208Y/120}
  ATS:
    kind: transfer switch
    normal_from: MSB/2
    emergency_from: EDP/1
    operation: automatic
    conductors: {size: 6 AWG Cu, length: 20 ft}
loads:
  TWO-CORD: {kind: IT, fed_from: [LP/5, EP/1-3-5], needs: any}
"""


def found(folder: Path, text: str = RECORDS) -> Distribution:
    return portfolio(folder, text).study.distribution


def path(tree: Distribution, tag: str) -> list[str]:
    return [element.tag.removeprefix("home:") for element in tree.path(f"home:{tag}")]


def test_the_way_from_the_source(tmp_path: Path) -> None:
    tree = found(tmp_path)
    assert path(tree, "LP/1") == ["UTIL", "MSB", "MSB/1", "T-1", "LP", "LP/1"]
    assert path(tree, "EP/1-3-5") == ["UTIL", "MSB", "MSB/2", "ATS", "EP", "EP/1-3-5"]


def test_what_may_feed_it_otherwise(tmp_path: Path) -> None:
    tree = found(tmp_path)
    assert tree.elements["home:ATS"].other_feeds == ("home:EDP/1",)
    assert not tree.elements["home:EDP"].live
    assert path(tree, "EDP/1") == ["GEN", "EDP", "EDP/1"]


def test_feeds_come_before_what_they_feed(tmp_path: Path) -> None:
    tree = found(tmp_path)
    order = list(tree.elements)
    for element in tree.elements.values():
        assert element.feed is None or order.index(element.feed) < order.index(element.tag)


def test_conductors_of_the_circuit_serve_what_has_none_of_its_own(tmp_path: Path) -> None:
    tree = found(tmp_path)
    transformer, switch = tree.elements["home:T-1"], tree.elements["home:ATS"]
    assert transformer.conductors_of == "home:MSB/1"
    assert str(transformer.conductors and transformer.conductors.size) == "3 AWG Cu"
    assert switch.conductors_of == "home:ATS"
    assert tree.elements["home:LP"].conductors is None


def test_what_is_handed_on(tmp_path: Path) -> None:
    tree = found(tmp_path)
    told = {
        tag: (str(e.system), e.legs, e.poles)
        for tag, e in tree.elements.items()
        if tag in ("home:LP/1", "home:LP/2-4", "home:ATS", "home:T-1", "home:MSB/1")
    }
    # Positions of one row stand on one phase, A, B, C down the rows (common practice).
    assert told == {
        "home:LP/1": ("208Y/120", "A", 1),
        "home:LP/2-4": ("208Y/120", "AB", 2),
        "home:ATS": ("480Y/277", "ABC", 3),
        "home:T-1": ("208Y/120", "ABC", 3),
        "home:MSB/1": ("480Y/277", "ABC", 3),
    }


def test_a_system_that_is_not_recorded_does_not_follow_from_the_feed(tmp_path: Path) -> None:
    tree = found(tmp_path, RECORDS.replace("system: 208Y/120\n    fed_from: T-1", "fed_from: T-1"))
    assert tree.elements["home:LP"].system is None
    assert tree.elements["home:LP/1"].legs == ""


def test_loads_with_several_feeds(tmp_path: Path) -> None:
    tree = found(tmp_path)
    (one,) = tree.loads_at["home:LP/5"]
    assert one.feeds == ("home:LP/5", "home:EP/1-3-5")
    assert [load.tag for load in tree.loads_at["home:EP/1-3-5"]] == ["home:TWO-CORD"]


def test_of_several_feeds_the_live_one_counts(tmp_path: Path) -> None:
    text = RECORDS.replace("fed_from: ATS", "fed_from: [MSB/3, EDP/1, ATS]")
    tree = found(tmp_path, text)
    assert path(tree, "EP") == ["UTIL", "MSB", "MSB/2", "ATS", "EP"]
    assert tree.elements["home:EP"].other_feeds == ("home:MSB/3", "home:EDP/1")
