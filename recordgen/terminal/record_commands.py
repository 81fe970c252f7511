"""The commands that ask for a record and write it."""

from __future__ import annotations

import click


@click.group(short_help="Type in a trace or a fault.")
def record() -> None:
    """Type in what was found in the field; it is checked while you type.

    Nothing is written before you have seen it and said yes.
    """
