"""The measurements of one step of a fault: what is wanted, what was typed, what it shows."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final, get_args

from recordgen.records.field import Measurement
from recordgen.records.quantities import Celsius, Measured, Quantity, Volts
from recordgen.terminal.lines import wrap
from recordgen.terminal.record_console import Console
from recordgen.terminal.record_names import Names
from recordgen.terminal.record_questions import Answers, Asked, GoBack, Wrong, one_of, typed
from recordgen.terminal.record_subjects import TEXT, instrument_question

QUANTITIES: Final[tuple[str, ...]] = get_args(Measurement.model_fields["quantity"].annotation)
_OHMS: Final = frozenset({"ohm", "kohm", "mohm", "gohm", "ω", "kω", "mω", "gω"})
_UNITS: Final[Mapping[str, frozenset[str]]] = {
    "insulation resistance": _OHMS,
    "continuity": _OHMS,
    "resistance": _OHMS,
    "voltage": frozenset({"v", "mv", "kv"}),
    "current": frozenset({"a", "ma", "ka"}),
    "trip current": frozenset({"a", "ma", "ka"}),
    "trip time": frozenset({"s", "ms", "min"}),
    "temperature": frozenset({"c", "°c"}),
    "temperature rise": frozenset({"k", "c", "°c"}),
    "distance": frozenset({"ft", "m"}),
}
_LIKE: Final[Mapping[str, str]] = {
    "insulation resistance": "220 Mohm",
    "continuity": "0.3 ohm",
    "resistance": "3.8 mohm",
    "voltage": "0 V",
    "current": "3.6 mA",
    "trip current": "5.1 mA",
    "trip time": "24 ms",
    "temperature": "118 C",
    "temperature rise": "71 K",
    "distance": "370 ft",
}
# Under it, a prefix was most likely slipped: m stands for a thousandth, M for a million.
_LEAST_INSULATION_OHM: Final = 1_000.0

_measured: Final = typed(Measured)
_volts: Final = typed(Volts)


@dataclass(frozen=True)
class MeasuredQuestion:
    """Asks for measurements until an empty line, says what is still wanted, and takes more.

    Attributes
    ----------
    names : Names
    day : date
        Of the step.
    said : dict
        The answers before it.
    wanted : tuple of str
        Quantities, any one of which would show what the step is about.
    earlier : tuple of Measurement
        What was measured in the steps before, so that the same can be measured again.
    says : function
        Answers with the measurements → what the program reads from them, in lines.
    key : str
    """

    names: Names
    day: dt.date
    said: Answers
    wanted: tuple[str, ...]
    earlier: tuple[Measurement, ...]
    says: Callable[[Answers], Iterable[str]]
    key: str = "measured"

    def ask(self, console: Console) -> list[dict[str, Any]]:
        """Return the measurements, in the order typed."""
        for line in self._introduction():
            console.say(line)
        found: list[dict[str, Any]] = []
        told: int | None = None
        while True:
            try:
                one = self._one(console, more=bool(found))
            except GoBack:
                if not found:
                    raise
                gone = found.pop()
                console.say(f"  taken back: {gone['quantity']} {gone['value']}")
                told = None
                continue
            if one is not None:
                found.append(one)
            elif len(found) == told:
                return found
            else:
                told = len(found)
                lines = [*self.says({**self.said, self.key: found})]
                if not lines:
                    return found
                for line in lines:
                    console.say(line)

    def _introduction(self) -> Iterator[str]:
        if self.wanted:
            yield from wrap(f"measured: wanted is {' or '.join(self.wanted)}")
        for before in self.earlier:
            parts = (before.quantity, str(before.value), before.between, before.test_v)
            yield from wrap(f"before: {', '.join(part for part in parts if part)}", "  ", "    ")

    def _one(self, console: Console, *, more: bool) -> dict[str, Any] | None:
        """Return one measurement; None after the last."""
        quantity = Asked(
            "quantity",
            one_of(QUANTITIES, "quantity"),
            choices=() if more else QUANTITIES,
            known=lambda: QUANTITIES,
            label="another quantity" if more else "measured, quantity",
        ).ask(console)
        if quantity is None:
            return None
        found = {"quantity": quantity}
        parts = [*self._parts(quantity)]
        while len(found) <= len(parts):
            part = parts[len(found) - 1]
            try:
                found[part.key] = part.ask(console)
            except GoBack:
                if len(found) == 1:
                    return self._one(console, more=more)
                found.popitem()
        return {key: value for key, value in found.items() if value is not None}

    def _parts(self, quantity: str) -> Iterator[Asked]:
        yield Asked("value", _value_of(quantity), required=True, label=f"{quantity}, value")
        same = dict.fromkeys(
            one.between for one in self.earlier if one.quantity == quantity and one.between
        )
        yield Asked(
            "between",
            _numbered(tuple(same)),
            "between what, or where; in the same words as before, it can be compared"
            if same
            else "between what, or where",
            choices=tuple(same),
        )
        if quantity == "insulation resistance":
            yield Asked("test_voltage", _test_voltage, "like 500 V; compared at one voltage only")
            yield Asked("temperature", typed(Celsius), "of the insulation, like 14 C")
        yield instrument_question(self.names, self.day)


def _value_of(quantity: str) -> Callable[[str], Quantity]:
    def read(text: str) -> Quantity:
        found: Quantity = _measured(text)
        unit = found.written.lstrip("0123456789.,+- ").lower()
        like = f"write it like {_LIKE[quantity]}"
        if unit not in _UNITS[quantity]:
            raise Wrong(f'"{found}" is no {quantity}: its unit', like, keep=found)
        if quantity == "insulation resistance" and 0 < found < _LEAST_INSULATION_OHM:
            said = f"{found} is {float(found):g} ohm: hardly an insulation resistance"
            raise Wrong(said, f"{like}, with a capital M for millions", keep=found)
        return found

    return read


def _test_voltage(text: str) -> str:
    words: str = TEXT(text)
    try:
        _volts(words)
    except Wrong as wrong:
        raise Wrong(wrong.args[0], keep=words) from None
    return words


def _numbered(choices: tuple[str, ...]) -> Callable[[str], str]:
    def read(text: str) -> str:
        if text.isdecimal() and 1 <= int(text) <= len(choices):
            return choices[int(text) - 1]
        words: str = TEXT(text)
        return words

    return read
