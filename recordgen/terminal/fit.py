"""Whether one more load fits a panel, as text and as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from recordgen.calc.study.fit import Fit, Place
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
        yield from wrap(_upstream(one, home), "  ", "    ")
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
    return (
        f"{head}{least}{one.before.percent:.0f} % now, {one.after.percent:.0f} % with it, "
        f"of {one.after.what} {one.after.written}; {one.answer}"
    )


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
                "answer": one.answer,
                "at_least": bool(one.needs),
                "missing": [str(need) for need in one.needs],
            }
            for one in fit.upstream
        ],
    }


def _rounded(value: float | None) -> float | None:
    return None if value is None else round(value, 2)
