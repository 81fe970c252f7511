"""Recorded equipment grounding conductors against the smallest that the device allows."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Final, Literal

from recordgen.calc.answer import Input, Need, NoValue
from recordgen.calc.conductor_area import circular_mils, metal_column
from recordgen.calc.equipment_ground import (
    at_least,
    increased_ground_circular_mils,
    minimum_ground,
)
from recordgen.calc.overcurrent_ratings import small_conductor_limit_a
from recordgen.calc.published import rows
from recordgen.calc.raceway_material import raceway_material
from recordgen.calc.study.device_limit import ConductorSet, ampacities
from recordgen.calc.study.protecting_device import Protection
from recordgen.records.conductor_size import ConductorSize, Metal, read_conductor_size
from recordgen.records.parts import Conductors

GroundWord = Literal[
    "large enough", "too small", "too small as increased", "raceway", "not known", "not judged"
]

TABLE: Final = "NEC 250.122(A) and table 250.122"
INCREASED: Final = "NEC 250.122(B), from memory"
_BONDING: Final = "NEC 250.102(C)"
_RACEWAY: Final = "NEC 250.118"


@dataclass(frozen=True)
class GroundAnswer:
    """How an equipment grounding conductor stands to its device.

    Attributes
    ----------
    word : str
        "too small": below the table; "too small as increased": enough by the table, but not for
        ungrounded conductors larger than the device asks; "raceway": no conductor is recorded, and
        the metal raceway may serve; "not judged": another rule holds than that of the table.
    recorded : ConductorSize or None
        In each raceway, where several are in parallel.
    minimum : ConductorSize or None
        Smallest by the table, never larger than the circuit's own conductors.
    needed_circular_mils : float or None
        Of conductors that were increased [circular mils].
    clause : str
    inputs : tuple of Input
    needs : tuple of Need
    """

    word: GroundWord
    recorded: ConductorSize | None
    minimum: ConductorSize | None = None
    needed_circular_mils: float | None = None
    clause: str = TABLE
    inputs: tuple[Input, ...] = ()
    needs: tuple[Need, ...] = ()


def ground_answer(
    conductors: Conductors,
    holder: str,
    key: str,
    protection: Protection | NoValue,
    known: ConductorSet | None,
) -> GroundAnswer:
    """Return how the equipment grounding conductor of a set of conductors stands to its device.

    Parameters
    ----------
    conductors : Conductors
    holder, key : str
        Full tag of the record that holds them, and their key there.
    protection : Protection or NoValue
        The device that protects them.
    known : ConductorSet or None
        What their ampacity follows from; None where that does not tell, or does not count, as in
        the circuits of motors: then it is not asked whether they were increased.

    Returns
    -------
    GroundAnswer

    Notes
    -----
    NEC 250.122: by the table (A), in proportion where the ungrounded conductors are larger than
    they have to be (B), full size in each of several raceways (F). Whether they are larger is held
    against the smallest that carry the rating of the device at the coolest terminals and insulation
    that may be: what is called too small there is so in any case, unless the increase was for
    ambient temperature or the number of conductors alone. Behind a transformer or a source the
    conductor is a bonding jumper (250.102(C)), and not judged here.
    """
    ground = conductors.ground
    if isinstance(protection, Protection) and protection.at_load_end:
        return GroundAnswer("not judged", ground, clause=_BONDING)
    if ground is None:
        material = raceway_material(conductors.raceway or "")
        if material in ("steel", "aluminum"):
            return GroundAnswer("raceway", None, clause=_RACEWAY)
        return GroundAnswer("not known", None, needs=(Need(holder, f"{key}: ground"),))
    if isinstance(protection, NoValue):
        return GroundAnswer("not known", ground, needs=protection.needs)
    if ground.metal is None:
        return GroundAnswer("not known", ground, needs=(Need(holder, f"{key}: ground, its metal"),))
    try:
        return _judged(conductors, ground, ground.metal, protection, holder, known)
    except ValueError as error:
        need = Need(holder, f"{key}: ground", str(error))
        return GroundAnswer("not known", ground, needs=(need,))


def _judged(
    conductors: Conductors,
    ground: ConductorSize,
    metal: Metal,
    protection: Protection,
    holder: str,
    known: ConductorSet | None,
) -> GroundAnswer:
    inputs = [
        Input("device", str(protection), "recorded", protection.tag),
        Input("equipment ground", str(ground), "recorded", holder),
    ]
    if (conductors.parallel or 1) > 1:
        inputs.append(Input("a ground of full size in each raceway", "yes", "assumed"))
    minimum = minimum_ground(protection.rating_a, metal)
    phase = conductors.size
    if phase is not None and not at_least(ground, minimum):
        # 250.122(A): never larger than the circuit's own conductors; metals that differ raise.
        minimum = phase if at_least(minimum, phase) else minimum
    enough = at_least(ground, minimum)
    needed = _when_increased(known, protection.rating_a, minimum) if known and enough else None
    word: GroundWord = "large enough" if enough else "too small"
    if needed is not None and circular_mils(ground) < needed:
        word = "too small as increased"
    clause = INCREASED if word == "too small as increased" else TABLE
    return GroundAnswer(word, ground, minimum, needed, clause, tuple(inputs))


def _when_increased(known: ConductorSet, device_a: float, minimum: ConductorSize) -> float | None:
    """Return the area for conductors larger than they have to be; None where they are not."""
    if minimum.metal != known.size.metal:
        return None
    smallest = _smallest_for(known, device_a)
    if smallest is None or smallest == known.size:
        return None
    needed = increased_ground_circular_mils(minimum, known.size, smallest)
    return min(needed, circular_mils(known.size))


@lru_cache(maxsize=4096)
def _smallest_for(known: ConductorSet, device_a: float) -> ConductorSize | None:
    """Return the smallest conductors of the same kind that carry the rating of a device."""
    for row in rows("conductor_ampacity"):
        size = read_conductor_size(f"{row['size']} {known.size.metal}")
        if circular_mils(size) >= circular_mils(known.size):
            return known.size
        if row[f"{metal_column(size)}_60_c_a"] and _carries(replace(known, size=size), device_a):
            return size
    return None


def _carries(conductors: ConductorSet, device_a: float) -> bool:
    try:
        ampacity_a = min(each.allowable_a for each in ampacities(conductors))
        small_a = small_conductor_limit_a(conductors.size)
    except ValueError:  # too small to be in parallel, or to be in the tables at all
        return False
    return device_a <= (ampacity_a if small_a is None else min(ampacity_a, small_a))
