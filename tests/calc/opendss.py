"""Another solver of circuits, given the same ohms: OpenDSS through opendssdirect.py.

Loads are told to keep their power from 0.1 to 2 per unit; left alone they turn into impedances
outside of 0.95 to 1.05, and voltage drops would not compare.
"""

from collections.abc import Sequence

import opendssdirect as dss


def run(*commands: str) -> None:
    """Start afresh, run the commands, solve to far below the tolerance of the tests."""
    dss.Text.Command("clear")
    for command in (*commands, "set tolerance=1e-11 maxiterations=1000", "solve mode=snap"):
        dss.Text.Command(command)
    assert dss.Solution.Converged()


def stiff_source(name: str, bus: str, volts: float, phases: int, angle: float = 0) -> str:
    """Return a source with next to no impedance; `volts` is line to line for three phases."""
    return (
        f"{name} bus1={bus} basekv={volts / 1000!r} phases={phases} angle={angle!r} pu=1 "
        "z1=[1e-9, 1e-9] z0=[1e-9, 1e-9]"
    )


def four_wire(
    name: str, start: str, end: str, phase: complex, neutral: complex, *, grounded: bool = True
) -> str:
    """Return three phases and a neutral, nothing coupled; node 4, or ground at the start."""
    first = 0 if grounded else 4
    return _line(name, f"{start}.1.2.3.{first}", f"{end}.1.2.3.4", (phase,) * 3 + (neutral,))


def three_wire(name: str, start: str, end: str, phase: complex, neutral: complex) -> str:
    """Return two legs and a neutral, grounded at the start."""
    return _line(name, f"{start}.1.2.0", f"{end}.1.2.4", (phase, phase, neutral))


def _line(name: str, start: str, end: str, ohms: Sequence[complex]) -> str:
    def matrix(values: Sequence[float]) -> str:
        rows = ([*[0.0] * row, value] for row, value in enumerate(values))
        return "[" + " | ".join(" ".join(map(repr, row)) for row in rows) + "]"

    return (
        f"new line.{name} bus1={start} bus2={end} phases={len(ohms)} length=1 units=none "
        f"rmatrix={matrix([z.real for z in ohms])} xmatrix={matrix([z.imag for z in ohms])} "
        f"cmatrix={matrix([0.0] * len(ohms))}"
    )


def load(name: str, bus: str, volts: float, va: complex) -> str:
    """Return a single-phase load of constant power; `bus` names its two nodes."""
    return (
        f"new load.{name} bus1={bus} phases=1 kv={volts / 1000!r} kw={va.real / 1000!r} "
        f"kvar={va.imag / 1000!r} model=1 vminpu=0.1 vmaxpu=2"
    )


def fault(bus1: str, bus2: str, phases: int = 1) -> str:
    """Return a bolted fault between nodes; OpenDSS wants some ohms in it."""
    return f"new fault.f bus1={bus1} bus2={bus2} phases={phases} r=1e-7"


def node_volts(bus: str) -> dict[int, complex]:
    dss.Circuit.SetActiveBus(bus)
    parts = dss.Bus.Voltages()
    pairs = zip(parts[::2], parts[1::2], strict=True)
    return {node: complex(*pair) for node, pair in zip(dss.Bus.Nodes(), pairs, strict=True)}


def amperes(element: str) -> list[complex]:
    """Return the currents into an element, terminal by terminal."""
    dss.Circuit.SetActiveElement(element)
    parts = dss.CktElement.Currents()
    return [complex(*pair) for pair in zip(parts[::2], parts[1::2], strict=True)]
