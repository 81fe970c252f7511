"""Commands of OpenDSS, one function for each: a line of text from plain numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Final

from recordgen.calc.transformer_impedance import half_winding_impedance_ohm

_NO_OHM: Final = 1e-9


def source_commands(
    name: str, bus: str, line_v: float, phases: int, z1_ohm: complex
) -> tuple[str, ...]:
    """Return the commands that begin a circuit with its source.

    Parameters
    ----------
    name, bus : str
        Names as OpenDSS takes them.
    line_v : float
        Between lines [V].
    phases : int
        3: nodes 1, 2, 3 and a grounded neutral, with Z0 = Z1. 1: nodes 1 and 2 with a grounded
        middle; the impedance is then put into a transformer behind a stiff source.
    z1_ohm : complex
        Of one phase; of a single-phase source half of the loop between its lines [Ω].
    """
    if phases == 3:
        ohms = f"[{z1_ohm.real!r}, {z1_ohm.imag!r}]"
        return (_vsource(name, bus, line_v, 3, ohms),)
    # As percent of a base of 100 kVA, which nothing else leans on.
    percent = 2 * z1_ohm * 100 * 100_000 / line_v**2
    behind = f"{bus}_behind"
    winding = tapped_transformer(
        f"{name}_source", f"{behind}.1.0", bus, line_v, line_v, 1e5, percent
    )
    return (_vsource(name, behind, line_v, 1, f"[{_NO_OHM!r}, {_NO_OHM!r}]"), winding)


def line(name: str, start: str, end: str, ohms: Sequence[complex]) -> str:
    """Return conductors that are not coupled, one for each node of `start` and `end` [Ω].

    A run of no length gets a billionth of an ohm: OpenDSS turns no zero around.
    """
    ohms = [ohm or complex(_NO_OHM) for ohm in ohms]
    return (
        f"new line.{name} bus1={start} bus2={end} phases={len(ohms)} length=1 units=none "
        f"rmatrix={_diagonal([z.real for z in ohms])} xmatrix={_diagonal([z.imag for z in ohms])} "
        f"cmatrix={_diagonal([0.0] * len(ohms))}"
    )


def transformer(
    name: str,
    buses: tuple[str, str],
    connections: tuple[str, str],
    volts: tuple[float, float],
    rating_va: float,
    percent: complex,
    phases: int,
) -> str:
    """Return a transformer of two windings; `percent` is R + jX on its own rating [%]."""
    return (
        f"new transformer.{name} phases={phases} windings=2 buses=[{buses[0]} {buses[1]}] "
        f"conns=[{connections[0]} {connections[1]}] "
        f"kvs=[{volts[0] / 1000!r} {volts[1] / 1000!r}] "
        f"kvas=[{rating_va / 1000!r} {rating_va / 1000!r}] "
        f"%rs=[{percent.real / 2!r} {percent.real / 2!r}] xhl={percent.imag!r} "
        "%noloadloss=0 %imag=0"
    )


def tapped_transformer(
    name: str,
    primary: str,
    secondary_bus: str,
    primary_v: float,
    secondary_v: float,
    rating_va: float,
    percent: complex,
) -> str:
    """Return a single-phase transformer whose secondary is grounded in its middle.

    Notes
    -----
    Half of the winding has more than its share of the impedance (`half_winding_impedance_ohm`,
    common practice): what both halves have beyond that is theirs, the rest the primary's.
    """
    # Of one half alone, in percent of the whole rating: 1.5 times R and 1.2 times X.
    alone = 4 * half_winding_impedance_ohm(complex(percent.real, percent.imag))
    own = 2 * (alone - percent)
    primary_r = alone.real - own.real
    half_v = secondary_v / 2
    return (
        f"new transformer.{name} phases=1 windings=3 "
        f"buses=[{primary} {secondary_bus}.1.0 {secondary_bus}.0.2] "
        f"kvs=[{primary_v / 1000!r} {half_v / 1000!r} {half_v / 1000!r}] "
        f"kvas=[{rating_va / 1000!r} {rating_va / 1000!r} {rating_va / 1000!r}] "
        f"%rs=[{primary_r!r} {own.real!r} {own.real!r}] "
        f"xhl={alone.imag!r} xht={alone.imag!r} xlt={2 * own.imag!r} %noloadloss=0 %imag=0"
    )


def load(name: str, nodes: str, volts: float, va: float, power_factor: float, phases: int) -> str:
    """Return a load of constant power, down to a tenth of its volts; three phases in delta."""
    connection = "delta" if phases == 3 else "wye"
    watts = va * power_factor
    reactive = math.sqrt(max(va**2 - watts**2, 0.0))
    return (
        f"new load.{name} bus1={nodes} phases={phases} conn={connection} kv={volts / 1000!r} "
        f"kw={watts / 1000!r} kvar={reactive / 1000!r} model=1 vminpu=0.1 vmaxpu=2"
    )


def _diagonal(values: Sequence[float]) -> str:
    rows = ([*[0.0] * row, value] for row, value in enumerate(values))
    return "[" + " | ".join(" ".join(map(repr, row)) for row in rows) + "]"


def _vsource(name: str, bus: str, line_v: float, phases: int, ohms: str) -> str:
    return (
        f"new circuit.{name} bus1={bus} basekv={line_v / 1000!r} pu=1 phases={phases} angle=0 "
        f"z1={ohms} z0={ohms}"
    )
