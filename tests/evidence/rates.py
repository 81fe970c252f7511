"""How often each reading rule is right, undecided and wrong: `python -m tests.evidence.rates`.

Counts the made-up cases of the simulators in this folder, for every purpose and for models that are
harder than the usual one, and prints a table with the 95 % bounds of each share. The limits in the
rules were tuned on other seeds than the one of the stored table.

    python -m tests.evidence.rates --cases 500 --purpose "identify the breaker"
    python -m tests.evidence.rates --write  # half an hour; rates.csv, tables of the page
"""

import argparse
import sys
from collections.abc import Sequence
from functools import partial
from multiprocessing import Pool

from tests.evidence.rates_table import (
    ROWS,
    SEED,
    USUAL,
    Row,
    counted,
    markdown,
    share,
    store,
)
from tests.evidence.tally import Tally


def main(arguments: Sequence[str] | None = None) -> int:
    """Count, print or write; return 2 where no row was asked for."""
    options = _options(arguments)
    rows = [row for row in ROWS if _asked_for(row, options)]
    if not rows:
        print(f"no such purpose; there are: {', '.join(_purposes())}", file=sys.stderr)  # noqa: T201
        return 2
    found: dict[Row, Tally] = {}
    count = partial(counted, cases=options.cases, seed=options.seed)
    with Pool(options.jobs) as pool:
        for row, tally in zip(rows, pool.imap(count, rows, chunksize=1), strict=True):
            found[row] = tally
            if options.write:
                store({row: tally})
            if not options.markdown:
                print(_line(row, tally), flush=True)  # noqa: T201 - a command
    if options.markdown:
        print(markdown(found))  # noqa: T201
    return 0


def _options(arguments: Sequence[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m tests.evidence.rates", description=__doc__)
    parser.add_argument("--cases", type=int, default=10_000, help="of a purpose, usual model")
    parser.add_argument("--seed", type=int, default=SEED)
    parser.add_argument("--purpose", action="append", help="one purpose; may be given again")
    parser.add_argument("--usual", action="store_true", help="leave the harder models out")
    parser.add_argument("--jobs", type=int, default=1, help="rows counted at the same time")
    parser.add_argument("--markdown", action="store_true", help="print the tables of the page")
    parser.add_argument("--write", action="store_true", help="store the rows counted")
    options = parser.parse_args(arguments)
    if options.write and options.seed != SEED:
        parser.error("--write stores what comes of the seed of the table")
    return options


def _asked_for(row: Row, options: argparse.Namespace) -> bool:
    purpose, model = row
    return (not options.purpose or purpose in options.purpose) and (
        not options.usual or model == USUAL
    )


def _purposes() -> list[str]:
    return list(dict.fromkeys(purpose for purpose, _ in ROWS))


def _line(row: Row, tally: Tally) -> str:
    """Return one row in words, shares in percent with their 95 % bounds."""
    said = [
        f"right {share(tally.right, tally.findable)}",
        f"ambiguous {share(tally.undecided, tally.findable)}",
        f"not enough {share(tally.not_enough, tally.findable)}",
        f"wrong {share(tally.wrong, tally.cases)}",
        f"false alarm {share(tally.false_alarms, tally.cases - tally.findable)}",
        f"interval holds {share(tally.held, tally.called)}",
    ]
    return f"{row[0]}; {row[1]}; {tally.cases} cases: {', '.join(said)}"


if __name__ == "__main__":
    sys.exit(main())
