"""Whether one more load fits a panel, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from recordgen.calc.answer import Answer, NoValue, Value
from recordgen.calc.study.fit import Fit, Place
from recordgen.calc.study.fit_drop import FitDrop
from recordgen.calc.study.upstream import Upstream
from recordgen.network.model import building_of, local
from recordgen.pages.wording import SCREENING
from recordgen.terminal.lines import heading, name, stops_text, wrap

_SHOWN = 6
_VERDICTS = {
    "fits": "IT FITS, by what is recorded.",
    "does not fit": "IT DOES NOT FIT.",
    "not shown": "NOT SHOWN: something it depends on is not recorded.",
}


def fit_text(fit: Fit, asked: str, stops: Iterable[object] = ()) -> Iterator[str]:
    """Yield the lines of an answer; `asked` is the load as it was typed."""
    home = building_of(fit.panel)
    yield from stops_text([*stops])
    poles = "1 pole" if fit.poles == 1 else f"{fit.poles} poles"
    kind = "continuous, " if fit.continuous else ""
    yield from wrap(
        f"{asked} on {local(fit.panel)}, {kind}{poles}: {fit.load_a:.1f} A, a device of "
        f"{fit.device_a:g} A at least",
        "",
        "  ",
    )
    yield from wrap(_VERDICTS[fit.answer], "  ")
    for reason in fit.reasons:
        yield from wrap(f"! {reason}", "  ", "    ")
    yield from heading("Where, the best balance first")
    for place in fit.places[:_SHOWN]:
        yield from wrap(_place(place), "  ", "    ")
    if len(fit.places) > _SHOWN:
        yield f"  and {len(fit.places) - _SHOWN} more: --format json has them"
    if not fit.places:
        yield "  no free place"
    yield from heading("What carries it, from the panel to the source")
    for one in fit.upstream:
        if one.normal:
            yield from wrap(_upstream(one, home), "  ", "    ")
    then = [one for one in fit.upstream if not one.normal]
    if then:
        yield from heading("And in another position of the switches, with all that comes to it")
    for one in then:
        with_it = ", ".join(name(tag, home) for tag in one.others)
        also = f" (also carrying {with_it})" if with_it else ""
        yield from wrap(f"{_upstream(one, home)}{also}", "  ", "    ")
    yield from heading("Voltage drop, in percent of nominal")
    yield from wrap(_drop(fit.drop), "  ", "    ")
    yield ""
    yield from wrap(SCREENING)


def _place(place: Place) -> str:
    state = {"spare": "spare", "space": "space", "not recorded": "nothing recorded there"}
    parts = [f"{place.positions} ({state[place.state]}"]
    if place.device:
        suits = "" if place.device_suits else ", too small"
        parts[0] += f", {place.device}{suits}"
    parts[0] += ")"
    if place.legs:
        parts.append(f"phase {place.legs}" if len(place.legs) == 1 else f"phases {place.legs}")
    if place.unbalance_percent is not None:
        parts.append(f"unbalance {place.unbalance_percent:.0f} %")
    return ", ".join(parts)


def _upstream(one: Upstream, home: str) -> str:
    head = f"{name(one.tag, home)}: "
    if one.measured is not None and one.measured.total_a is not None:
        head += (
            f"{one.measured.total_a:.0f} A with 125 % of its recorded demand (NEC 220.87); "
            "calculated: "
        )
    if one.after is None or one.before is None:
        return f"{head}no rating recorded"
    least = "at least " if one.needs else ""
    without = "now" if one.normal else "without it"
    return (
        f"{head}{least}{one.before.percent:.0f} % {without}, {one.after.percent:.0f} % with it, "
        f"of {one.after.what} {one.after.written}; {one.answer}"
    )


def _drop(drop: FitDrop) -> str:
    parts = [
        f"on the way to the panel {_percent(drop.before)} now",
        f"{_percent(drop.added)} more with it, at most",
    ]
    if drop.branch is not None:
        parts.append(f"on its own circuit {_percent(drop.branch)}, at most")
    total = drop.total_percent
    if total is not None:
        least = isinstance(drop.before, Value) and drop.before.at_least
        parts.append(f"together {total:.1f} %{' and what is not recorded' if least else ''}")
        parts.append("a note to NEC 210.19(A) recommends 5 % at most, 3 % on the branch circuit")
    return "; ".join(parts)


def _percent(answer: Answer | None) -> str:
    if isinstance(answer, Value):
        return f"{'at least ' if answer.at_least else ''}{answer.amount:.1f} %"
    if answer is None:
        return "not known: no conductors are recorded"
    return f"not known: {'; '.join(map(str, answer.needs))}"


def _drop_json(answer: Answer | None) -> dict[str, object]:
    return {
        "percent": _rounded(answer.amount) if isinstance(answer, Value) else None,
        "at_least": bool(answer.at_least) if isinstance(answer, Value) else False,
        "missing": [str(need) for need in answer.needs] if isinstance(answer, NoValue) else [],
    }


def fit_json(fit: Fit) -> dict[str, object]:
    """Return an answer as plain values."""
    return {
        "panel": fit.panel,
        "load_va": round(fit.load_va, 3),
        "poles": fit.poles,
        "continuous": fit.continuous,
        "load_a": round(fit.load_a, 3),
        "device_a": fit.device_a,
        "answer": fit.answer,
        "reasons": [*fit.reasons],
        "places": [
            {
                "positions": place.positions,
                "state": place.state,
                "device": place.device or None,
                "device_suits": place.device_suits,
                "phases": place.legs or None,
                "unbalance_percent": _rounded(place.unbalance_percent),
            }
            for place in fit.places
        ],
        "upstream": [
            {
                "tag": one.tag,
                "kind": one.kind,
                "limit": one.after.what if one.after else None,
                "rating_a": _rounded(one.after.rating_a) if one.after else None,
                "percent_before": _rounded(one.before.percent) if one.before else None,
                "percent_after": _rounded(one.after.percent) if one.after else None,
                "by_recorded_demand_a": _rounded(one.measured.total_a) if one.measured else None,
                "conditions_not_met": [*one.measured.unmet] if one.measured else [],
                "normal_state": one.normal,
                "also_carrying": [*one.others],
                "answer": one.answer,
                "at_least": bool(one.needs),
                "missing": [str(need) for need in one.needs],
            }
            for one in fit.upstream
        ],
        "voltage_drop": {
            "to_the_panel_now": _drop_json(fit.drop.before),
            "added_at_most": _drop_json(fit.drop.added),
            "own_circuit_at_most": _drop_json(fit.drop.branch),
            "together_percent": _rounded(fit.drop.total_percent),
        },
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 2)
