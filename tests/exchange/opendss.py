"""Runs a script in OpenDSS, through opendssdirect.py, and measures faults and voltages there.

The fault-study mode of OpenDSS also shorts the neutral node, so a fault is an element of its own.
"""

import opendssdirect as dss

from recordgen.exchange.opendss import Bus, CircuitScript

_OPEN_OHM = 1e9
_BOLTED_OHM = 1e-6  # a fault current here passes 10 milliohms and more: 0.01 % at the most


def compiled(script: CircuitScript) -> None:
    """Read a script in, and keep a fault at hand that is open."""
    for command in script.text.splitlines():
        dss.Text.Command(command)
    anywhere = next(iter(script.buses.values())).name
    dss.Text.Command(f"new fault.three bus1={anywhere}.1.2.3 phases=3 r={_OPEN_OHM}")
    dss.Text.Command(f"new fault.one bus1={anywhere}.1 phases=1 r={_OPEN_OHM}")


def three_phase_a(bus: Bus) -> float:
    """Return the current of a bolted fault between three lines, tied to nothing else."""
    return _fault_a("three", bus.nodes("ABC"), f"{bus.name}.7.7.7")


def line_to_line_a(bus: Bus) -> float:
    return _fault_a("one", bus.nodes(bus.legs[0]), bus.nodes(bus.legs[1]))


def line_to_neutral_a(bus: Bus) -> float:
    return _fault_a("one", bus.nodes(bus.legs[0]), f"{bus.name}.{bus.neutral}")


def volts(bus: Bus) -> dict[int, complex]:
    """Return node → voltage to ground, as the circuit was solved last."""
    dss.Circuit.SetActiveBus(bus.name)
    parts = dss.Bus.Voltages()
    pairs = zip(parts[::2], parts[1::2], strict=True)
    return {node: complex(*pair) for node, pair in zip(dss.Bus.Nodes(), pairs, strict=True)}


def solve() -> None:
    for command in ("set tolerance=1e-9 maxiterations=1000", "solve mode=snap"):
        dss.Text.Command(command)
    assert dss.Solution.Converged()


def _fault_a(name: str, start: str, end: str) -> float:
    dss.Text.Command(f"edit fault.{name} bus1={start} bus2={end} r={_BOLTED_OHM}")
    solve()
    dss.Circuit.SetActiveElement(f"fault.{name}")
    real, imaginary = dss.CktElement.Currents()[:2]
    dss.Text.Command(f"edit fault.{name} r={_OPEN_OHM}")
    return abs(complex(real, imaginary))
