"""The hand-made net, where the answer can be read off its description."""

import pytest

from tests.real_networks.comparing import Case, case
from tests.real_networks.nets import named


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Case:
    return case(tmp_path_factory.mktemp("corners"), named("corners"))


def dark_buses(found: Case, *switches: int) -> set[int]:
    return {found.conversion.bus_of[load] for load in found.dark(switches)}


def test_of_two_parallel_lines_one_is_enough(found: Case) -> None:
    near, far, other = 1, 2, 3
    assert dark_buses(found, near) == dark_buses(found, far) == set()
    assert dark_buses(found, near, other) == {2, 3, 4, 11}


def test_the_grid_comes_by_either_transformer(found: Case) -> None:
    low_side, high_winding, medium_winding = 0, 12, 13
    assert dark_buses(found, low_side) == set()
    assert dark_buses(found, low_side, high_winding) == {1, 2, 3, 4, 6, 7, 11}
    assert dark_buses(found, low_side, medium_winding) == {1, 2, 3, 4, 6, 11}


def test_an_island_has_nothing_to_lose(found: Case) -> None:
    assert dark_buses(found, 10) == set()
    unknown = [p for p in found.portfolio.problems if p.code == "source-unknown"]
    assert [p.severity for p in unknown] == ["stop"]


def test_a_line_out_of_service_hangs_on_nothing(found: Case) -> None:
    network = found.portfolio.network
    supply = found.portfolio.supply.dominators["normal"]
    for switch in (6, 7):
        device = found.conversion.device_of[switch]
        assert dark_buses(found, switch) == set()
        assert supply.supplied(device)  # its own panel is live
        reached = network.hazard[network.circuit_zone[device]]
        assert list(reached) == [device]


def test_a_line_open_at_one_end_is_live_from_the_other(found: Case) -> None:
    network = found.portfolio.network
    line_end = network.circuit_zone[found.conversion.near_circuit["LN-3"]]
    tie = network.devices[found.conversion.device_of[5]]
    assert (tie.kind, tie.closed) == ("bus tie", False)
    assert line_end in tie.zones
    assert found.portfolio.supply.dominators["normal"].supplied(line_end)
    # It hangs on bus 3, not on bus 1, where it is open.
    at_three = found.portfolio.supply.dominators["normal"].above(line_end)
    assert found.conversion.device_of[4] in at_three
