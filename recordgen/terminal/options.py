"""What several commands share: options, reading the records, and leaving where they have errors."""

from __future__ import annotations

import datetime as dt
import sys
import threading
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from recordgen.as_of import as_of_date
from recordgen.portfolio import Portfolio, load_portfolio
from recordgen.problems import SEVERITIES, Problem

WRONG_RECORDS = 1
WRONG_USAGE = 2


class NoSuchThing(click.ClickException):
    """What was asked about is not recorded."""

    exit_code = WRONG_USAGE


class AsOf(click.ParamType):  # type: ignore[type-arg]  # no generic class in click before 8.4
    """A date written as `YYYY-MM-DD`."""

    name = "YYYY-MM-DD"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> dt.date:
        """Return the date, or fail with one line."""
        try:
            return value if isinstance(value, dt.date) else as_of_date(value)
        except ValueError as error:
            self.fail(str(error), param, ctx)


def records_option(function: Any) -> Any:
    """Add `--records`, the folder of buildings."""
    return click.option(
        "--records",
        type=click.Path(exists=True, file_okay=False, path_type=Path),
        default="buildings",
        show_default=True,
        help="Folder that holds a folder for each building.",
    )(function)


def as_of_option(function: Any) -> Any:
    """Add `--as-of`."""
    return click.option(
        "--as-of", type=AsOf(), default=None, help="Day to compute ages and deadlines for; today."
    )(function)


def format_option(function: Any) -> Any:
    """Add `--format text|json`."""
    return click.option(
        "--format", "form", type=click.Choice(["text", "json"]), default="text", show_default=True
    )(function)


@contextmanager
def said_when_slow(what: str) -> Iterator[None]:
    """Say on stderr what is going on, once it has taken a second."""
    timer = threading.Timer(1.0, lambda: click.echo(f"{what} …", err=True))
    timer.daemon = True
    timer.start()
    try:
        yield
    finally:
        timer.cancel()


def load(records: Path, as_of: dt.date | None) -> Portfolio:
    """Return the portfolio, whatever its problems are."""
    with said_when_slow(f"reading {records}"):
        return load_portfolio(records, as_of or today())


def today() -> dt.date:
    """Return the day that is computed for where none is asked for."""
    try:
        return as_of_date()
    except ValueError as error:
        raise click.UsageError(str(error)) from None


def readable(records: Path, as_of: dt.date | None) -> Portfolio:
    """Return the portfolio; print the errors and leave where there are any."""
    portfolio = load(records, as_of)
    if not portfolio.readable:
        for problem in portfolio.problems:
            click.echo(str(problem), err=True)
        click.echo(tally(portfolio.problems), err=True)
        sys.exit(WRONG_RECORDS)
    return portfolio


def tally(problems: Iterable[Problem]) -> str:
    """Return how many findings of each kind there are."""
    found = list(problems)
    counts = [(sum(p.severity == name for p in found), name) for name in SEVERITIES]
    words = {"stop": "STOP"}
    listed = [
        f"{count} {words.get(name, name)}{'s' if count > 1 and name != 'stop' else ''}"
        for count, name in counts
        if count
    ]
    return ", ".join(listed) or "no findings"
