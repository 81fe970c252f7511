"""The rows of the table of rates, its CSV of counts, and its Markdown."""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import asdict, fields
from functools import partial
from pathlib import Path
from typing import Final, TextIO

from recordgen.evidence.follow_run import PURPOSES as FOLLOW
from tests.evidence import simulator_breakers, simulator_follow, simulator_run
from tests.evidence.rates_along_runs import followed, located, measured, together
from tests.evidence.rates_of_breakers import (
    breakers,
    bundles,
    downstream,
    one_orientation,
    rule_to_beat,
)
from tests.evidence.simulator_downstream import SHARED_ONE_IN
from tests.evidence.tally import Tally, bounds

STORED: Final = Path(__file__).with_name("rates.csv")
PAGE: Final = Path(__file__).parents[2] / "site_src" / "evidence.md"
SEED: Final = 2026
"""Of the table that is stored. Limits were tuned on other seeds, all below 1,000 and from 4,711."""
USUAL: Final = "usual"
HARDER_SHARE: Final = 5
"""A harder model is counted in so many times fewer cases than the usual one."""

Row = tuple[str, str]
Count = Callable[[int, int], Tally]


def _rows() -> Mapping[Row, Count]:
    """Return purpose and model → how to count so many cases from a seed."""
    rows: dict[Row, Count] = {}
    breaker = {USUAL: simulator_breakers.USUAL, **simulator_breakers.STRESS}
    kind = {"right one always read": simulator_breakers.NEVER_MISSED}
    for name, model in {**breaker, **kind}.items():
        rows["identify the breaker", name] = partial(breakers, model=model)
    for name, model in {USUAL: breaker[USUAL], **kind}.items():
        rows["identify the breaker, rule to beat", name] = partial(rule_to_beat, model=model)
    for name in (USUAL, "coupling from any direction"):
        rows["identify the breaker, one orientation", name] = partial(
            one_orientation, model=breaker[name]
        )
    for name in (USUAL, "unsteady hand", "right one often not read", "scale often full"):
        rows["sort a cable bundle", name] = partial(bundles, model=breaker[name])
    for name in (USUAL, "unsteady hand", "scale often full"):
        rows["list what is downstream", name] = partial(
            downstream, model=breaker[name], shared_one_in=SHARED_ONE_IN
        )
    rows["list what is downstream", "raceway often shared"] = partial(
        downstream, model=breaker[USUAL], shared_one_in=2
    )
    for purpose in simulator_run.PURPOSES:
        for name, along in {USUAL: simulator_run.USUAL, **simulator_run.STRESS}.items():
            rows[purpose, name] = partial(located, purpose=purpose, model=along)
    for purpose in FOLLOW:
        for name, waver in simulator_follow.WAVERS.items():
            rows[purpose, name] = partial(followed, purpose=purpose, waver=waver)
    for name, spoilt in {USUAL: False, "velocity factor wrong": True}.items():
        rows["distance by reflectometer", name] = partial(
            measured, method="reflectometer", spoilt=spoilt
        )
        rows["distance by tracer and both together", name] = partial(together, spoilt=spoilt)
    rows["distance by bridge", USUAL] = partial(measured, method="bridge", spoilt=False)
    return dict(sorted(rows.items(), key=lambda item: _order(item[0], list(rows))))


def _order(row: Row, rows: Sequence[Row]) -> tuple[int, int]:
    """Return where a row stands: purposes in the order first named, models as they come."""
    purposes = list(dict.fromkeys(purpose for purpose, _ in rows))
    return purposes.index(row[0]), rows.index(row)


ROWS: Final = _rows()
COUNTS: Final = tuple(field.name for field in fields(Tally))


def counted(row: Row, cases: int, seed: int) -> Tally:
    """Return the counts of one row; of a harder model, of so many times fewer cases."""
    return ROWS[row](cases if row[1] == USUAL else max(1, cases // HARDER_SHARE), seed)


def write_csv(found: Mapping[Row, Tally], file: TextIO) -> None:
    """Write one line of counts for each row."""
    writer = csv.writer(file, lineterminator="\n")
    writer.writerow(["purpose", "model", *COUNTS])
    for (purpose, model), tally in found.items():
        writer.writerow([purpose, model, *asdict(tally).values()])


def read_csv(file: TextIO) -> dict[Row, Tally]:
    """Return the counts that were written."""
    return {
        (line["purpose"], line["model"]): Tally(**{name: int(line[name]) for name in COUNTS})
        for line in csv.DictReader(file)
    }


def markdown(found: Mapping[Row, Tally]) -> str:
    """Return the two tables of the page: the usual model, and the harder ones."""
    usual = {row: tally for row, tally in found.items() if row[1] == USUAL}
    harder = {row: tally for row, tally in found.items() if row[1] != USUAL}
    parts = []
    if usual:
        parts.append(_table(("Purpose",), (((row[0],), tally) for row, tally in usual.items())))
    if harder:
        parts.append(_table(("Purpose", "What is harder"), harder.items()))
    return "\n".join(parts)


_HEADS: Final = (
    "Cases",
    "Right",
    "Ambiguous",
    "Not enough",
    "Wrong",
    "False alarm",
    "Interval holds",
)


def _table(names: Sequence[str], rows: Iterable[tuple[Sequence[str], Tally]]) -> str:
    heads = [*names, *_HEADS]
    lines = [f"| {' | '.join(heads)} |", f"|{' --- |' * len(names)}{' ---: |' * len(_HEADS)}"]
    for row, tally in rows:
        nothing = tally.cases - tally.findable
        cells = (
            *row,
            f"{tally.cases:,}",
            share(tally.right, tally.findable),
            share(tally.undecided, tally.findable),
            share(tally.not_enough, tally.findable),
            share(tally.wrong, tally.cases),
            share(tally.false_alarms, nothing),
            share(tally.held, tally.called),
        )
        # Bounds on a line of their own: a phone shows more columns.
        narrow = (cell.replace(" (", "<br>(") for cell in cells)
        lines.append(f"| {' | '.join(narrow)} |")
    return "\n".join(lines) + "\n"


def share(count: int, of: int) -> str:
    """Return a share with its 95 % bounds in percent; a dash where there is nothing to share."""
    if not of:
        return "–"
    low, high = bounds(count, of)
    digits = 2 if count / of < 0.02 else 1
    value = f"{100 * count / of:.{digits}f}"
    return f"{value} ({100 * low:.{digits}f}–{100 * high:.{digits}f})"


BEGIN: Final = "<!-- rates: written by `python -m tests.evidence.rates --write` -->\n"
END: Final = "<!-- end of rates -->\n"


def page_with(page: str, tables: str) -> str:
    """Return the page with its tables put in place of those between the two marks."""
    before, _, rest = page.partition(BEGIN)
    _, _, after = rest.partition(END)
    return f"{before}{BEGIN}\n{tables}\n{END}{after}"


def stored() -> dict[Row, Tally]:
    """Return the counts that are stored, in the order of the table; empty where none are."""
    if not STORED.exists():
        return {}
    with STORED.open(encoding="utf-8") as file:
        found = read_csv(file)
    return {row: found[row] for row in ROWS if row in found}


def store(found: Mapping[Row, Tally]) -> None:
    """Store these counts beside those of other rows, and write the tables of the page anew."""
    known = {**stored(), **found}
    ordered = {row: known[row] for row in ROWS if row in known}
    with STORED.open("w", encoding="utf-8") as file:
        write_csv(ordered, file)
    PAGE.write_text(page_with(PAGE.read_text("utf-8"), markdown(ordered)), "utf-8")
