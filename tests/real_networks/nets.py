"""The nets that records are built from."""

import warnings
from functools import cache
from typing import Any

# pandapower takes seconds to import: it is imported where a test asks for a net, not when tests
# are collected.


@cache
def shipped(name: str) -> Any:
    """Return a net that pandapower carries; nobody may change it."""
    import pandapower.networks

    with warnings.catch_warnings():
        # One of the nets was saved by an older pandapower and solved on loading; the warning is
        # about a table of tap changers, and no switch stands in it.
        warnings.filterwarnings(
            "ignore", message="tap_dependency_table is missing", category=DeprecationWarning
        )
        return getattr(pandapower.networks, name)()


@cache
def corners() -> Any:
    """Return a small net of what the shipped ones lack.

    Buses and what is special about them, by index:

    - 0 (grid) to 1 by a transformer with a switch at its low side;
    - 1 to 2 by two lines in parallel: line 0 with a switch at each end, line 1 with one;
    - 2 to 3 by a line without switches, 3 to 1 by one that is open at 1 only;
    - 3 to 4 by a line out of service, with switches, and one with two switches at its far end;
    - 5, 6, 7: a three-winding transformer with a switch at each winding; 5 is on the grid, 6 tied
      to 1, and 7 tied to 8, which has a grid of its own (open);
    - 9 and 10: an island with a static generator and a storage;
    - 11 on 2 by a transformer in parallel with another one, neither with a switch.
    """
    import pandapower as pp

    net = pp.create_empty_network()
    for kilovolts in (110, 20, 20, 20, 20, 110, 20, 10, 10, 20, 20, 0.4):
        pp.create_bus(net, vn_kv=kilovolts)
    for bus in (0, 8):
        pp.create_ext_grid(net, bus)
    for bus in range(1, 12):
        pp.create_load(net, bus, p_mw=0.1, q_mvar=0.02)
    pp.create_sgen(net, 9, p_mw=1)
    pp.create_storage(net, 10, p_mw=-0.5, max_e_mwh=1)
    pp.create_gen(net, 6, p_mw=1)

    def line(start: int, end: int, *switches: tuple[int, bool], in_service: bool = True) -> None:
        kind = "NA2XS2Y 1x240 RM/25 12/20 kV"
        index = pp.create_line(net, start, end, 1.5, kind, in_service=in_service)
        for bus, closed in switches:
            pp.create_switch(net, bus, index, et="l", closed=closed, type="LBS")

    feeding = pp.create_transformer(net, 0, 1, "25 MVA 110/20 kV")
    pp.create_switch(net, 1, feeding, et="t", type="CB")
    line(1, 2, (1, True), (2, True))
    line(1, 2, (1, True))
    line(2, 3)
    line(3, 1, (3, True), (1, False))
    line(3, 4, (3, True), (4, True), in_service=False)
    line(3, 4, (4, True), (4, True))
    line(9, 10, (9, True))
    pp.create_switch(net, 0, 5, et="b", type="CB")
    three = pp.create_transformer3w(net, 5, 6, 7, "63/25/38 MVA 110/20/10 kV")
    for bus in (5, 6, 7):
        pp.create_switch(net, bus, three, et="t3", type="CB")
    pp.create_switch(net, 6, 1, et="b", type="DS")
    pp.create_switch(net, 7, 8, et="b", type="CB", closed=False)
    for _ in range(2):
        pp.create_transformer(net, 2, 11, "0.63 MVA 20/0.4 kV")
    return net


def named(name: str) -> Any:
    """Return a net by its name."""
    return corners() if name == "corners" else shipped(name)
