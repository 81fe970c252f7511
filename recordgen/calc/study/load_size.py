"""What a recorded load draws, and which demand category it belongs to."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from recordgen.calc.answer import Input, Need
from recordgen.calc.category_total import Category
from recordgen.calc.load_rules import EDITIONS, rule_of
from recordgen.calc.motor_current import full_load_current_a
from recordgen.records.supply import Load, LoadKind
from recordgen.records.system import NominalSystem

CATEGORY: Final[dict[LoadKind, Category]] = {
    "receptacle": "receptacle",
    "lighting": "lighting",
    "emergency lighting": "lighting",
    "exit sign": "lighting",
    "sign": "lighting",
    "motor": "motor",
    "pump": "motor",
    "fan": "motor",
    "compressor": "motor",
    "elevator": "motor",
    "door operator": "motor",
    "machine tool": "motor",
    "HVAC": "cooling",
    "heating": "heating",
    "kitchen": "kitchen",
    "EV": "vehicle charging",
}
"""Kind of load → its category; every other kind is "other", which counts in full."""

POWER_FACTOR: Final = "power_factor"
_RESISTIVE: Final = frozenset({"heating", "water heater"})
_HORSEPOWER_W: Final = 746.0


@dataclass(frozen=True)
class LoadSize:
    """What a load draws.

    Attributes
    ----------
    tag : str
        Full tag.
    piece_va : float or None
        Of one piece [VA]; None where the record does not tell.
    quantity : int
        How many pieces.
    power_factor : float or None
        From above 0 to 1; None where it is not recorded.
    horsepower : float or None
        Of one motor, where the record gives it.
    category : Category
    continuous : bool or None
        Whether it runs three hours or more; None where not recorded.
    inputs : tuple of Input
    needs : tuple of Need
        What is not recorded.
    watts_only : bool
        Whether watts are counted as volt-amperes, since no power factor is recorded.
    """

    tag: str
    piece_va: float | None
    quantity: int
    power_factor: float | None
    horsepower: float | None
    category: Category
    continuous: bool | None
    inputs: tuple[Input, ...] = ()
    needs: tuple[Need, ...] = ()
    watts_only: bool = False

    @property
    def va(self) -> float | None:
        """Of all pieces together [VA]."""
        return None if self.piece_va is None else self.piece_va * self.quantity

    def of_which(self, share: float) -> LoadSize:
        """Return a part of the load."""
        return replace(self, piece_va=None if self.piece_va is None else self.piece_va * share)

    @property
    def counts_continuous(self) -> bool:
        """Whether it counts as continuous: lighting does where nothing is recorded."""
        return self.category == "lighting" if self.continuous is None else self.continuous


def load_size(tag: str, load: Load, system: NominalSystem | None, poles: int | None) -> LoadSize:
    """Return what a load draws from a feed.

    Parameters
    ----------
    tag : str
        Full tag of the load.
    load : Load
    system : NominalSystem or None
        Of its feed.
    poles : int or None
        Ungrounded conductors of its feed.

    Returns
    -------
    LoadSize

    Notes
    -----
    Volt-amperes are taken as recorded. Watts are divided by the recorded power factor; of a heater
    it is 1 (physics); where none is recorded the watts are counted, which is too little, and
    `needs` says so. Horsepower becomes the full-load current of NEC 430.247 to 250 times the
    voltage. A receptacle outlet without a recorded power counts with the 180 VA of NEC 220.14(I)
    for each recorded piece. Kitchen equipment has a demand factor only where it is recorded as
    fixed: the factors of NEC 220.56 are not for what stands on a counter. Lighting counts as
    continuous where nothing else is recorded (common practice in buildings other than dwellings).
    """
    category = CATEGORY.get(load.kind, "other")
    if category == "kitchen" and load.connection != "fixed":
        category = "other"
    quantity = load.quantity or 1
    factor = load.power_factor_percent / 100 if load.power_factor_percent is not None else None
    made = _made(tag, load, system, poles, factor)
    if load.kind == "receptacle" and load.power_va is None and load.quantity is None:
        made = _Made(None, factor, (), (Need(tag, "power, or quantity of outlets"),))
    return LoadSize(
        tag=tag,
        piece_va=made.va,
        quantity=quantity,
        power_factor=made.power_factor,
        horsepower=_horsepower(load),
        category=category,
        continuous=load.continuous,
        inputs=made.inputs,
        needs=made.needs,
        watts_only=made.watts_only,
    )


@dataclass(frozen=True)
class _Made:
    va: float | None
    power_factor: float | None
    inputs: tuple[Input, ...] = ()
    needs: tuple[Need, ...] = ()
    watts_only: bool = False


def _made(
    tag: str, load: Load, system: NominalSystem | None, poles: int | None, factor: float | None
) -> _Made:
    if load.power_va is None:
        if load.kind == "receptacle":
            outlet = rule_of("receptacle outlet", EDITIONS[-1])
            made = Input("one receptacle outlet", f"{outlet.value:g} VA", "table", outlet.clause)
            return _Made(outlet.value, factor, (made,))
        return _Made(None, factor, (), (Need(tag, "power"),))
    written = Input("power", str(load.power_va), "recorded", tag)
    unit = _unit(load)
    if unit == "hp":
        return _motor(tag, load, system, poles, written)
    if unit in ("VA", "kVA"):
        return _Made(float(load.power_va), factor, (written,))
    if factor is None and load.kind in _RESISTIVE:
        return _Made(float(load.power_va), 1.0, (written,))
    if factor is None:
        need = Need(tag, POWER_FACTOR, "not recorded: its watts are counted, which is too little")
        return _Made(float(load.power_va), None, (written,), (need,), watts_only=True)
    given = Input("power factor", str(load.power_factor_percent), "recorded", tag)
    return _Made(float(load.power_va) / factor, factor, (written, given))


def _unit(load: Load) -> str:
    """Return the unit a power is written in, in its plain spelling."""
    letters = "".join(c for c in str(load.power_va) if c.isalpha())
    return {"hp": "hp", "va": "VA", "kva": "kVA"}.get(letters.lower(), letters)


def _horsepower(load: Load) -> float | None:
    if load.power_va is None or _unit(load) != "hp":
        return None
    return round(float(load.power_va) / _HORSEPOWER_W, 6)


def _motor(
    tag: str, load: Load, system: NominalSystem | None, poles: int | None, written: Input
) -> _Made:
    """Return the volt-amperes of a motor, by the full-load current of the code's tables."""
    horsepower = _horsepower(load)
    volts: float | None = load.voltage_v
    if volts is None and system is not None and poles is not None:
        volts = system.line_v if poles > 1 else system.neutral_v
    if volts is None or horsepower is None or poles is None:
        return _Made(None, None, (written,), (Need(tag, "voltage"),))
    phases = 3 if poles == 3 else 1
    try:
        amperes = full_load_current_a(horsepower, volts, phases)
    except ValueError as error:
        return _Made(None, None, (written,), (Need(tag, "power", str(error)),))
    va = amperes * volts * (math.sqrt(3) if phases == 3 else 1)
    current = Input("full-load current", f"{amperes:g} A", "table", "NEC 430.247 to 430.250")
    return _Made(va, None, (written, current))
