"""The command that makes labels: to print, or as rows for a label printer."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, get_args

import click

from recordgen.network.lookup import NotFound, find_building
from recordgen.pages.csv_text import csv_text
from recordgen.pages.label_print import print_file
from recordgen.pages.label_sheets import SHEETS
from recordgen.pages.label_values import MAKERS, STOP, Label, LabelKind
from recordgen.pages.view import View
from recordgen.portfolio import Portfolio
from recordgen.records.messages import closest
from recordgen.terminal.options import NoSuchThing, as_of_option, readable, records_option

if TYPE_CHECKING:
    from recordgen.records.loader import LoadedBuilding

_CONFIGS = ("mkdocs.yml", "mkdocs.yaml")


@click.command(short_help="Labels to print, or for a label printer.")
@click.argument("building")
@click.argument("panels", metavar="[PANEL...]", nargs=-1)
@click.option(
    "--of",
    "of",
    type=click.Choice(get_args(LabelKind)),
    default="circuits",
    show_default=True,
    help="What the labels are for.",
)
@click.option(
    "--sheet",
    type=click.Choice(list(SHEETS)),
    default="letter-30",
    show_default=True,
    help="; ".join(f"{name}: {sheet.title}" for name, sheet in SHEETS.items()) + ".",
)
@click.option(
    "--skip",
    type=click.IntRange(min=0),
    default=0,
    help="How many labels of the first sheet are used up.",
)
@click.option(
    "--output",
    type=click.Path(dir_okay=False, writable=True, allow_dash=True, path_type=Path),
    default="-",
    help="File to write; printed where none is named.",
)
@click.option(
    "--format",
    "form",
    type=click.Choice(["html", "csv", "json"]),
    default="html",
    show_default=True,
)
@click.option("--address", help="Of the site, for the codes; that of mkdocs.yml beside it.")
@records_option
@as_of_option
def labels(
    building: str,
    panels: tuple[str, ...],
    of: LabelKind,
    sheet: str,
    skip: int,
    output: Path,
    form: str,
    address: str | None,
    records: Path,
    as_of: dt.date | None,
) -> None:
    """Make labels for panels, circuits, outlets or equipment, of all panels or of some.

    HTML is one file to open and print at 100 %. CSV and JSON are for label printers.
    """
    if skip >= SHEETS[sheet].count:
        raise click.BadParameter(f"a sheet holds {SHEETS[sheet].count}", param_hint="'--skip'")
    portfolio = readable(records, as_of)
    here = _building(portfolio, building)
    chosen = [_panel(portfolio.buildings[here], name) for name in panels]
    view = View(portfolio, _address(address))
    made = list(MAKERS[of](view, here, chosen))
    if not made:
        raise NoSuchThing(f"no {of} to label are recorded {'there' if chosen else f'in {here}'}")
    if form == "csv":
        _write(output, csv_text(*_table(view, made)))
    elif form == "json":
        _write(output, json.dumps(_values(view, made), indent=2, ensure_ascii=False) + "\n")
    else:
        title = f"Labels: {of} of {', '.join(chosen) or view.building_name(here)}"
        _write(output, print_file(view, title, made, SHEETS[sheet], _style(), skip))
    if str(output) != "-":
        click.echo(_said(view, made, output, form), err=True)


def _building(portfolio: Portfolio, text: str) -> str:
    try:
        return find_building(portfolio.buildings, text)
    except NotFound as error:
        raise NoSuchThing(str(error)) from None


def _panel(loaded: LoadedBuilding, text: str) -> str:
    known = loaded.records.panels
    found = next((tag for tag in known if tag.lower() == text.lower()), None)
    if found is None:
        hint = closest(text, known) or f"there are: {', '.join(known)}"
        raise NoSuchThing(f'there is no panel "{text}" in {loaded.id}; {hint}')
    return found


def _address(option: str | None) -> str:
    """Return the address of the site: as asked, or as the configuration here has it."""
    # Reading a configuration brings all of MkDocs along.
    from recordgen.site.address import site_address
    from recordgen.site.build import SiteNotBuilt, site_config

    try:
        if option:
            return site_address(option, None)
        config_file = next((Path(name) for name in _CONFIGS if Path(name).is_file()), None)
        if config_file is None:
            return ""
        config = site_config(config_file)
        return site_address(config.plugins["recordgen"].config["address"], config.site_url)
    except (SiteNotBuilt, ValueError) as error:
        raise click.UsageError(str(error)) from None


def _style() -> str:
    from recordgen.site.offline import HERE

    return (HERE / "assets" / "recordgen-labels.css").read_text(encoding="utf-8")


def _names(made: Iterable[Label]) -> list[str]:
    """Return the names of the lines of labels, in order of appearance, each once."""
    found = dict.fromkeys(_name(line.name) for label in made for line in label.lines)
    return [name for name in found if name != "text"]


def _name(text: str) -> str:
    return text.partition(",")[0].lower().replace(" ", "_") or "text"


def _texts(label: Label) -> dict[str, str]:
    """Return name → text of the lines of a label; those without a name are joined.

    A STOP has a column of its own.
    """
    found: dict[str, list[str]] = {}
    for line in label.lines:
        if line.text == STOP:
            continue
        found.setdefault(_name(line.name), []).append(line.text)
    return {name: "; ".join(texts) for name, texts in found.items()}


def _table(view: View, made: Sequence[Label]) -> tuple[list[str], list[list[str]]]:
    """Return columns and rows for a label printer."""
    names = _names(made)
    columns = ["of", "tag", "head", "text", *names, "stop", "address", "revision", "as_of"]
    rows = []
    for label in made:
        texts = _texts(label)
        rows.append(
            [
                label.of,
                label.tag,
                label.head,
                *(texts.get(name, "") for name in ("text", *names)),
                "STOP" if label.stop else "",
                view.address_of(label.link),
                label.revision,
                view.portfolio.as_of.isoformat(),
            ]
        )
    return columns, rows


def _values(view: View, made: Iterable[Label]) -> dict[str, Any]:
    return {
        "as_of": view.portfolio.as_of.isoformat(),
        "labels": [
            {
                "of": label.of,
                "tag": label.tag,
                "head": label.head,
                "lines": [{"name": line.name, "text": line.text} for line in label.lines],
                "stop": label.stop,
                "address": view.address_of(label.link) or None,
                "revision": label.revision,
            }
            for label in made
        ],
    }


def _write(output: Path, text: str) -> None:
    try:
        # As bytes: a system that ends lines its own way would change those of a CSV file.
        with click.open_file(str(output), "wb") as file:
            file.write(text.encode())
    except OSError as error:
        raise click.FileError(str(output), error.strerror or str(error)) from None


def _said(view: View, made: Sequence[Label], output: Path, form: str) -> str:
    stops = sum(label.stop for label in made)
    said = f"{len(made)} label{'' if len(made) == 1 else 's'} in {output}"
    if form == "html":
        said += "; open it and print at 100 %"
    if stops:
        said += f"; STOP on {stops} of them: mend the records first"
    if not view.address:
        said += "; no codes: no address of the site is configured"
    return said
