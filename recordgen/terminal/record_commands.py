"""The commands that ask for a record and write it."""

from __future__ import annotations

import datetime as dt
import io
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import click

from recordgen.network.lookup import NotFound, find_building
from recordgen.portfolio import Portfolio
from recordgen.records.messages import closest
from recordgen.terminal.options import (
    WRONG_RECORDS,
    WRONG_USAGE,
    NoSuchThing,
    as_of_option,
    readable,
    records_option,
)
from recordgen.terminal.record_console import Console, Refused, Stopped
from recordgen.terminal.record_dialogue import CannotWrite, Dialogue
from recordgen.terminal.record_file import NotWritten
from recordgen.terminal.record_writing import by_hand


@click.group(short_help="Type in a trace or a fault.")
def record() -> None:
    """Type in what was found in the field; it is checked while you type.

    Nothing is written before you have seen it and said yes. Answers may come from
    a pipe or a file too; there the first wrong one ends the command.
    """


def _dry_run_option(function: Any) -> Any:
    return click.option(
        "--dry-run", is_flag=True, help="Print the YAML and write nothing; talk goes to stderr."
    )(function)


@record.command(short_help="A trace: readings and what they show.")
@click.argument("building")
@_dry_run_option
@records_option
@as_of_option
def trace(building: str, dry_run: bool, records: Path, as_of: dt.date | None) -> None:
    """Type in a trace, readings as they stand in a notepad.

    What the program reads from them is shown before it is written, so that you can
    measure again while you are still there.
    """
    portfolio = readable(records, as_of)
    found = _building(portfolio, building)
    _held(records, found, dry_run, lambda dialogue: dialogue.trace(portfolio))


@record.command(short_help="A fault, or its next step.")
@click.argument("building")
@click.argument("fault_tag", metavar="[FAULT]", required=False)
@_dry_run_option
@records_option
@as_of_option
def fault(
    building: str, fault_tag: str | None, dry_run: bool, records: Path, as_of: dt.date | None
) -> None:
    """Type in a new fault, or the next step of one that is open.

    Without FAULT the open ones are listed to choose from.
    """
    portfolio = readable(records, as_of)
    found = _building(portfolio, building)
    tag = _fault(portfolio, found, fault_tag) if fault_tag else None
    _held(records, found, dry_run, lambda dialogue: dialogue.fault(portfolio, tag))


def _building(portfolio: Portfolio, text: str) -> str:
    try:
        return find_building(portfolio.buildings, text)
    except NotFound as error:
        raise NoSuchThing(str(error)) from None


def _fault(portfolio: Portfolio, building: str, text: str) -> str:
    known = portfolio.buildings[building].records.faults
    found = next((tag for tag in known if tag.lower() == text.lower()), None)
    if found is None:
        hint = closest(text, known) or f"leave it out to choose among those of {building}"
        raise NoSuchThing(f'there is no fault "{text}" in {building}; {hint}')
    return found


def _held(records: Path, building: str, dry_run: bool, talk: Callable[[Dialogue], None]) -> None:
    """Hold a dialogue; leave with one clear line where it comes to nothing."""
    # A program that is started without any input has none.
    answers = sys.stdin if sys.stdin is not None else io.StringIO()
    console = Console(sys.stderr if dry_run else sys.stdout, answers)
    dialogue = Dialogue(console, records, building, click.echo if dry_run else None)
    try:
        talk(dialogue)
    except (Stopped, KeyboardInterrupt):
        click.echo("\nStopped. Nothing was written.", err=True)
        sys.exit(WRONG_USAGE)
    except Refused as refused:
        click.echo(f"error: {refused}; nothing was written", err=True)
        sys.exit(WRONG_USAGE)
    except CannotWrite as error:
        click.echo(f"error: {error}", err=True)
        click.echo("\n".join(by_hand(error.draft)), err=True)
        sys.exit(WRONG_RECORDS)
    except NotWritten as error:
        click.echo(f"error: {error}; nothing was written", err=True)
        sys.exit(WRONG_RECORDS)
