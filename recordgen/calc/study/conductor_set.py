"""What the ampacity of recorded conductors follows from, and which of it is assumed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from recordgen.calc.ampacity import unmarked_terminal_c
from recordgen.calc.answer import Input, Need, NoValue
from recordgen.calc.insulation_column import ColumnC, insulation_column_c, known_column
from recordgen.calc.overcurrent_ratings import small_conductor_limit_a
from recordgen.calc.study.device_limit import ConductorSet, ampacities
from recordgen.calc.study.distribution import Element
from recordgen.records.parts import Conductors

_TABLE_AMBIENT_C: Final = 30.0  # in the title of table 310.16


@dataclass(frozen=True)
class Described:
    """A set of conductors as the tables ask for it, and what that was read from."""

    set: ConductorSet
    inputs: tuple[Input, ...]


def conductor_set(
    element: Element,
    above: Element,
    conductors: Conductors,
    key: str,
    device_a: float | None,
) -> Described | NoValue:
    """Return what the ampacity of an element's conductors follows from.

    Parameters
    ----------
    element : Element
        Whose record holds them.
    above : Element
        That hands on its ungrounded conductors through them: a circuit itself, or the feed.
    conductors : Conductors
    key : str
        Their key in the record.
    device_a : float or None
        Rating of the device that protects them [A]; None where not known.

    Returns
    -------
    Described or NoValue
        NoValue names what is not recorded, or not in the tables. Insulation that is not recorded is
        no obstacle: the set says so, and every column of the table is possible then.

    Notes
    -----
    Terminals: 110.14(C)(1), see `unmarked_terminal_c`. Ambient 30 °C, and nothing else in the
    raceway, are what table 310.16 holds for.
    """
    needs = []
    size, tag = conductors.size, element.tag
    if size is None:
        needs.append(Need(tag, f"{key}: size"))
    elif size.metal is None:
        needs.append(Need(tag, f"{key}: size, its metal"))
    if conductors.terminal_c is None and device_a is None:
        why = "not recorded, and no rating tells how warm unmarked ones may get"
        needs.append(Need(tag, f"{key}: terminals", why))
    column = insulation_column_c(conductors.insulation) if conductors.insulation else None
    if conductors.insulation and column is None:
        why = f'"{conductors.insulation}" is no type of insulation that the tables have'
        needs.append(Need(tag, f"{key}: insulation", why))
    if needs or size is None:
        return NoValue(tuple(needs))
    try:
        terminal_c = _terminal_c(conductors, device_a)
        found = ConductorSet(
            size=size,
            insulation_c=column,
            terminal_c=terminal_c,
            terminals_recorded=conductors.terminal_c is not None,
            ambient_c=_TABLE_AMBIENT_C if conductors.ambient_c is None else conductors.ambient_c,
            current_carrying=_current_carrying(above),
            parallel=conductors.parallel or 1,
        )
        ampacities(found)
        small_conductor_limit_a(size)
    except ValueError as error:
        return NoValue((Need(tag, key, str(error)),))
    return Described(found, _inputs(tag, conductors, found))


def _terminal_c(conductors: Conductors, device_a: float | None) -> ColumnC:
    if conductors.terminal_c is not None:
        if conductors.terminal_c != int(conductors.terminal_c):
            raise ValueError(f"terminals for {conductors.terminal_c} are in no table")
        return known_column(int(conductors.terminal_c))
    return unmarked_terminal_c(device_a or 0.0)


def _current_carrying(above: Element) -> int:
    """Return how many conductors of one circuit carry current.

    With one pole the neutral carries all of it; with two poles of a wye it carries about as much as
    they do (310.15(E), from memory), and two poles of a single-phase system keep below that number
    without it. Three poles: their neutral carries the rest of a balanced load.
    """
    if above.poles == 1:
        return 2
    system = above.system
    wye = system is not None and system.phases == 3 and system.neutral_v is not None
    return 2 if above.poles == 2 and not wye else 3


def _inputs(tag: str, conductors: Conductors, found: ConductorSet) -> tuple[Input, ...]:
    many = f"{found.parallel} × " if found.parallel > 1 else ""
    inputs = [Input("conductors", f"{many}{found.size}", "recorded", tag)]
    if found.insulation_c is None:
        inputs.append(Input("insulation", "not recorded; 60 °C or more", "assumed"))
    else:
        shown = f"{conductors.insulation}, {found.insulation_c} °C column"
        inputs.append(Input("insulation", shown, "recorded", tag))
    if found.terminals_recorded:
        inputs.append(Input("terminals", str(conductors.terminal_c), "recorded", tag))
    else:
        shown = f"{found.terminal_c} °C, as unmarked ones are: 110.14(C)(1)"
        inputs.append(Input("terminals", shown, "assumed"))
    if conductors.ambient_c is None:
        inputs.append(Input("ambient temperature", f"{found.ambient_c:g} °C", "assumed"))
    else:
        inputs.append(Input("ambient temperature", str(conductors.ambient_c), "recorded", tag))
    alone = f"{found.current_carrying}, alone in the raceway"
    inputs.append(Input("current-carrying conductors", alone, "assumed"))
    return tuple(inputs)
