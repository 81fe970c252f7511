"""The step of a reach through a transformer."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final, Literal

from recordgen.calc.answer import Input, Need, NoValue
from recordgen.calc.point_to_point import beyond_transformer_a
from recordgen.calc.study.distribution import Element
from recordgen.calc.study.reach import Ohms, Reach, joined, neutral_volts, unusable
from recordgen.calc.transformer_impedance import (
    half_winding_impedance_ohm,
    transformer_impedance_ohm,
)
from recordgen.records.equipment import Transformer
from recordgen.records.system import NominalSystem

_FITS: Final = 0.1
"""How far rated and nominal volts of one place may lie apart: 230, 240 and 220 V are one."""


@dataclass(frozen=True)
class _Plate:
    """What a transformer's nameplate gives: its own impedance, and what is missing for it."""

    ohm: Ohms
    needs: tuple[Need, ...]
    inputs: tuple[Input, ...]


def through(before: Reach, element: Element) -> Reach | NoValue:
    """Return the reach at a transformer's secondary from that at its primary.

    Returns
    -------
    Reach or NoValue
        NoValue where the recorded voltages do not tell what comes out.
    """
    record = element.record
    assert isinstance(record, Transformer)  # noqa: S101  # for mypy: whoever asks has looked
    tag, primary, secondary = element.tag, record.primary, record.secondary
    if primary is None or secondary is None:
        keys = (("primary", primary), ("secondary", secondary))
        return NoValue(tuple(Need(tag, key) for key, system in keys if system is None))
    plate = _plate(tag, record, secondary)
    if primary.phases == secondary.phases == 3:
        made = _three_phase(before, element, primary, secondary, plate)
    elif primary.phases == secondary.phases == 1:
        made = _single_phase(before, element, primary, secondary, plate)
    else:
        made = None
    if made is None:
        why = f"{primary} does not fit the {before.line_v:g} V that feed it, or {secondary}"
        return NoValue((Need(tag, "primary", why),))
    return made


def _three_phase(
    before: Reach, element: Element, primary: NominalSystem, secondary: NominalSystem, plate: _Plate
) -> Reach | None:
    if before.phases != 3 or before.poles < 3 or not _fits(primary.line_v, before.line_v):
        return None
    record = element.record
    assert isinstance(record, Transformer)  # noqa: S101  # for mypy
    square = (secondary.line_v / primary.line_v) ** 2
    upstream = before.line_ohm.times(square)
    connection = (record.connection or "").lower().replace("–", "-").replace(" ", "")
    neutral_needs: tuple[Need, ...] = ()
    if connection == "delta-wye":
        loop = upstream.times(2 / 3) + plate.ohm
    elif connection == "wye-wye":
        loop = before.neutral_ohm.times(square) + plate.ohm
        neutral_needs = before.neutral_needs
    else:
        # With nothing in Z0: the least there can be.
        loop = (upstream + plate.ohm).times(2 / 3)
        why = f'"{record.connection}" is neither delta-wye nor wye-wye' if connection else ""
        neutral_needs = (Need(element.tag, "connection", why),)
    if secondary.high_leg:
        why = "a fault to neutral of a high-leg delta is not calculated"
        loop, neutral_needs = Ohms(), (Need(element.tag, "secondary", why),)
    said = Input("connection", str(record.connection), "recorded", element.tag)
    zero = Input("transformer, to neutral", "zero-sequence as its own impedance", "assumed")
    return _beyond(
        before,
        element,
        secondary,
        plate,
        poles=3,
        line_ohm=upstream + plate.ohm,
        neutral_ohm=loop,
        neutral_needs=neutral_needs,
        neutral_inputs=(said, zero),
    )


def _single_phase(
    before: Reach, element: Element, primary: NominalSystem, secondary: NominalSystem, plate: _Plate
) -> Reach | None:
    """Return the reach behind a single-phase transformer, fed from two lines or one and neutral."""
    ratio = secondary.line_v / primary.line_v
    if before.poles >= 2 and _fits(primary.line_v, before.line_v):
        loop = before.line_ohm.times(2)
        more: tuple[Need, ...] = ()
    elif before.neutral_v is not None and _fits(primary.line_v, before.neutral_v):
        loop, more = before.neutral_ohm, before.neutral_needs
    else:
        return None
    winding, square = plate.ohm, ratio**2
    half = Ohms(
        half_winding_impedance_ohm(winding.known),
        winding.unturned * abs(half_winding_impedance_ohm(1j)),
    )
    upstream = replace(before, needs=joined(before.needs, more))
    said = Input("half of the winding", "R 1.5, X 1.2 times a quarter", "table", "common practice")
    return _beyond(
        upstream,
        element,
        secondary,
        plate,
        poles=2,
        line_ohm=(loop.times(square) + winding).times(1 / 2),
        neutral_ohm=loop.times(square / 4) + half,
        neutral_needs=(),
        neutral_inputs=(said,),
    )


def _beyond(
    before: Reach,
    element: Element,
    secondary: NominalSystem,
    plate: _Plate,
    *,
    poles: int,
    line_ohm: Ohms,
    neutral_ohm: Ohms,
    neutral_needs: tuple[Need, ...],
    neutral_inputs: tuple[Input, ...],
) -> Reach:
    record = element.record
    assert isinstance(record, Transformer)  # noqa: S101  # for mypy
    by_hand = None
    if before.by_hand_a and before.phases == secondary.phases and not plate.needs:
        assert record.primary is not None  # noqa: S101  # for mypy: no needs
        assert record.rating_va is not None  # noqa: S101
        assert record.impedance_percent is not None  # noqa: S101
        phases: Literal[1, 3] = 3 if secondary.phases == 3 else 1
        by_hand = beyond_transformer_a(
            before.by_hand_a,
            record.primary.line_v,
            secondary.line_v,
            record.rating_va,
            record.impedance_percent,
            phases,
        )
    return replace(
        before,
        line_v=secondary.line_v,
        neutral_v=neutral_volts(secondary),
        phases=secondary.phases,
        poles=poles,
        line_ohm=line_ohm,
        neutral_ohm=neutral_ohm,
        needs=joined(before.needs, plate.needs),
        neutral_needs=neutral_needs,
        by_hand_a=by_hand,
        inputs=plate.inputs,
        neutral_inputs=neutral_inputs,
        before=before,
        what="",
    )


def _plate(tag: str, record: Transformer, secondary: NominalSystem) -> _Plate:
    given = (("rating", record.rating_va), ("impedance", record.impedance_percent))
    needs = [unusable(tag, key, value) for key, value in given if not value]
    if record.x_over_r is None:
        needs.append(Need(tag, "x_over_r"))
    volts = f"{record.primary} to {secondary}"
    inputs = (
        Input("transformer", f"{record.rating_va}, {volts}", "recorded", tag),
        Input("impedance", str(record.impedance_percent), "recorded", tag),
        Input("X/R", str(record.x_over_r), "recorded", tag),
    )
    ohms = Ohms()
    if record.rating_va and record.impedance_percent:
        whole = transformer_impedance_ohm(
            record.rating_va, secondary.line_v, record.impedance_percent, record.x_over_r or 0.0
        )
        ohms = Ohms(0j, abs(whole)) if record.x_over_r is None else Ohms(whole)
    return _Plate(ohms, tuple(needs), () if needs else inputs)


def _fits(rated_v: float, volts: float) -> bool:
    return abs(rated_v / volts - 1) <= _FITS
