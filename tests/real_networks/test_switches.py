"""Networks that nobody here drew: what goes dark, against pandapower's own search.

Source of the nets and of the expected answers: pandapower (`pandapower.networks`,
`pandapower.topology.unsupplied_buses`), a package for power system analysis. Its conventions, and
what they are matched with:

- Supply starts at external grids alone (and at generators marked as slack, of which these nets have
  none). Static generators, storage and other generators carry nothing by themselves there; here
  they are photovoltaic, battery and hand-started sources, which keep nothing running.
- `respect_switches=True`: an open switch at either end takes a whole line or transformer away; of a
  three-winding transformer only that winding. Here every switch is a device in its own place.
- Buses are compared where loads stand, and only those that lose supply by the opening: the ones
  without supply before have nothing to lose.
- Switches that are open already are "opened" too, and must change nothing.
- pandapower knows no ride-through, no transfer and no second cord, so nothing but *dark* may occur.
"""

from pathlib import Path

import pytest

from tests.real_networks.comparing import case, loaded
from tests.real_networks.conversion import converted
from tests.real_networks.nets import named
from tests.real_networks.supplied import scrambled

SMALL = [
    "create_cigre_network_lv",
    "example_multivoltage",
    "simple_mv_open_ring_net",
    "corners",
]
LARGE = pytest.param("lv_schutterwald", marks=pytest.mark.long)
EVERY = pytest.mark.parametrize("name", [*SMALL, LARGE])


@EVERY
def test_opening_any_switch_darkens_what_pandapower_finds_without_supply(
    tmp_path: Path, name: str
) -> None:
    found = case(tmp_path, named(name))
    each = found.one_by_one()
    assert len(each) == len(found.standing.switch) == len(set(found.conversion.device_of.values()))
    assert found.differences(each) == []
    # The comparison would be empty where no switch mattered.
    assert sum(bool(found.lost(switches)) for switches in each) >= 3


@EVERY
def test_opening_several_switches_darkens_what_pandapower_finds_without_supply(
    tmp_path: Path, name: str
) -> None:
    found = case(tmp_path, named(name))
    assert found.differences([*found.several(2, 150), *found.several(3, 50)]) == []


@pytest.mark.parametrize("seed", range(4))
@EVERY
def test_nets_with_other_switch_positions_and_branches_out_of_service_agree(
    tmp_path: Path, name: str, seed: int
) -> None:
    found = case(tmp_path, scrambled(named(name), seed))
    assert found.differences([*found.one_by_one(), *found.several(2, 30)]) == []


@pytest.mark.parametrize("seed", range(2))
@EVERY
def test_present_positions_are_counted_from_where_the_switches_stand(
    tmp_path: Path, name: str, seed: int
) -> None:
    net = named(name)
    found = case(tmp_path, net, scrambled(net, seed, switches_only=True))
    assert found.differences([*found.one_by_one(), *found.several(2, 30)]) == []


@pytest.mark.parametrize(
    ("name", "mistake"),
    [
        ("corners", "closed ties forgotten"),
        ("example_multivoltage", "closed ties forgotten"),
        ("example_multivoltage", "every switch taken as closed"),
        ("simple_mv_open_ring_net", "every switch taken as closed"),
    ],
)
def test_the_comparison_shows_records_that_are_wrong(
    tmp_path: Path, name: str, mistake: str
) -> None:
    conversion = converted(named(name))
    equipment = conversion.records["equipment"]
    circuits = [c for p in conversion.records["panels"].values() for c in p["circuits"].values()]
    if mistake == "closed ties forgotten":
        for record in equipment.values():
            if record["kind"] == "bus tie":
                record["normal"] = "open"
    else:
        for record in (*equipment.values(), *circuits):
            if "normal" in record:
                record["normal"] = "closed"
    found = loaded(tmp_path, named(name), conversion)
    assert found.differences(found.one_by_one()) != []
