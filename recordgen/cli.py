"""The `recordgen` command."""

from __future__ import annotations

import datetime as dt
import json
import logging
import sys
from collections.abc import Iterable
from pathlib import Path
from typing import Any, get_args

import click

from recordgen import __version__
from recordgen.calc.study.fit_question import CannotAsk, conductors_of, question_of
from recordgen.network.lookup import NotFound, find_building, find_opening, find_target
from recordgen.network.model import Network
from recordgen.pages.answers import Answers
from recordgen.pages.handle_ties import partners_unknown
from recordgen.pages.locks_in_force import locks_in_force
from recordgen.pages.notice_answer import outage_notice
from recordgen.portfolio import Portfolio
from recordgen.records.parts import Conductors
from recordgen.records.schema import schema_text
from recordgen.records.supply import LoadKind
from recordgen.terminal.downstream import downstream_json, downstream_text, warnings_json
from recordgen.terminal.feed import feed_json, feed_text
from recordgen.terminal.fit import fit_json, fit_text
from recordgen.terminal.isolation import isolation_json, isolation_text
from recordgen.terminal.labels import labels
from recordgen.terminal.notice import notice_json, notice_text
from recordgen.terminal.options import (
    WRONG_RECORDS,
    WRONG_USAGE,
    NoSuchThing,
    as_of_option,
    format_option,
    load,
    readable,
    records_option,
    tally,
)
from recordgen.terminal.proven import proven_json
from recordgen.terminal.record_commands import record


def _print(form: str, text: Iterable[str], values: object) -> None:
    if form == "json":
        click.echo(json.dumps(values, indent=2, ensure_ascii=False))
    else:
        click.echo("\n".join(text))


def _find(portfolio: Portfolio, building: str, tags: Iterable[str], finder: Any) -> list[str]:
    """Return full tags of what was typed; one line and exit 2 where there is no such thing."""
    network: Network = portfolio.network
    try:
        found = find_building(portfolio.buildings, building)
        return [finder(network, found, tag) for tag in tags]
    except NotFound as error:
        raise NoSuchThing(str(error)) from None


@click.group(context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80})
@click.version_option(__version__)
def main() -> None:
    """Electrical building records: check them, ask them, publish them.

    Records are an aid and no proof. Test before touch.
    """


main.add_command(record)
main.add_command(labels)


@main.command(short_help="Check the records.")
@click.argument(
    "records",
    type=click.Path(exists=True, file_okay=False, path_type=Path),
    default="buildings",
)
@as_of_option
@format_option
def check(records: Path, as_of: dt.date | None, form: str) -> None:
    """Check the records below a folder; exit 1 on errors and on what carries a STOP."""
    portfolio = load(records, as_of)
    problems = portfolio.problems
    text = [*map(str, problems), tally(problems)]
    _print(form, text, {"problems": [problem.as_json() for problem in problems]})
    if any(problem.severity in ("error", "stop") for problem in problems):
        sys.exit(WRONG_RECORDS)


@main.command(short_help="What goes dark when devices are opened.")
@click.argument("building")
@click.argument("tags", metavar="TAG...", nargs=-1, required=True)
@click.option("--present", is_flag=True, help="From the recorded present switch positions.")
@click.option("--notice", is_flag=True, help="As a notice to hand out, in plain words.")
@records_option
@as_of_option
@format_option
def downstream(
    building: str,
    tags: tuple[str, ...],
    present: bool,
    notice: bool,
    records: Path,
    as_of: dt.date | None,
    form: str,
) -> None:
    """Say what happens to every load when devices are opened.

    A device is PANEL/POSITION, PANEL/main, the tag of equipment, or LOAD/disconnect.
    Add /A, /B or /C for one pole alone (a blown fuse), /N for an open neutral.
    """
    portfolio = readable(records, as_of)
    devices = _find(portfolio, building, tags, find_opening)
    answers = Answers(portfolio)
    normal = answers.downstream(devices)
    change = answers.present_change(devices, normal)
    answer = answers.downstream(devices, "present") if present else normal
    if notice:
        # A notice is for today: it follows the present positions wherever they matter.
        found = outage_notice(answers, answer, change)
        return _print(form, notice_text(found), notice_json(found))
    unknown = partners_unknown(answers, answer)
    proven = answers.proven(answer)
    text = downstream_text(answer, change, unknown, proven)
    besides = {**warnings_json(answer, change, unknown), "proven": proven_json(proven)}
    values = {**downstream_json(answer), **besides}
    return _print(form, text, values)


@main.command(short_help="Where every lock goes.")
@click.argument("building")
@click.argument("tags", metavar="TAG...", nargs=-1, required=True)
@records_option
@as_of_option
@format_option
def isolate(
    building: str, tags: tuple[str, ...], records: Path, as_of: dt.date | None, form: str
) -> None:
    """Say where every lock goes to make a load, circuit, panel or equipment dead.

    Several are one job: one set of locks that makes all of them dead.
    """
    portfolio = readable(records, as_of)
    answers = Answers(portfolio)
    answer = answers.isolation(*_find(portfolio, building, tags, find_target))
    proven = answers.proven(answer)
    values = {**isolation_json(answer), "proven": proven_json(proven)}
    _print(form, isolation_text(answer, proven), values)


@main.command(short_help="The way from source to load.")
@click.argument("building")
@click.argument("tags", metavar="TAG...", nargs=-1, required=True)
@records_option
@as_of_option
@format_option
def feed(
    building: str, tags: tuple[str, ...], records: Path, as_of: dt.date | None, form: str
) -> None:
    """Show the way from the source to a load or circuit, each device with its rating."""
    portfolio = readable(records, as_of)
    answers = Answers(portfolio)
    locks = {
        device: lock
        for here in locks_in_force(portfolio.buildings).values()
        for device, lock in here.items()
    }
    lines: list[str] = []
    values: list[dict[str, object]] = []
    for tag in _find(portfolio, building, tags, find_target):
        paths = answers.feed_paths(tag)
        devices = {d: answers.device_line(d) for path in paths for d in path.devices}
        lines += feed_text(tag, paths, devices, locks)
        values.append(feed_json(tag, paths, devices, locks))
    _print(form, lines, values[0] if len(values) == 1 else values)


@main.command(short_help="Whether one more load fits a panel.")
@click.argument("building")
@click.argument("panel")
@click.option("--load", "power", required=True, help='Its power: "7.2 kVA", "1.5 kW", "5 hp".')
@click.option("--poles", type=click.IntRange(1, 3), default=1, show_default=True)
@click.option(
    "--kind",
    type=click.Choice(get_args(LoadKind)),
    metavar="KIND",
    default="other",
    show_default=True,
    help="What it is, as in the records: lighting, motor, kitchen ...",
)
@click.option("--continuous", is_flag=True, help="It runs for three hours or more.")
@click.option("--conductors", "size", help='Of its own circuit: "10 AWG Cu".')
@click.option("--length", help='Of its own circuit: "60 ft".')
@click.option("--raceway", help='Of its own circuit: "3/4 in EMT".')
@records_option
@as_of_option
@format_option
def fit(
    building: str,
    panel: str,
    power: str,
    poles: int,
    kind: LoadKind,
    continuous: bool,
    size: str | None,
    length: str | None,
    raceway: str | None,
    records: Path,
    as_of: dt.date | None,
    form: str,
) -> None:
    """Say whether one more load fits a panel: where, on which phases, and what carries it."""
    portfolio = readable(records, as_of)
    (tag,) = _find(portfolio, building, (panel,), find_target)
    try:
        fits = portfolio.study.fits
        question = question_of(fits.panel(tag), power, poles, kind, continuous=continuous)
        found = fits.fit(tag, question, _own_circuit(size, length, raceway))
    except CannotAsk as error:
        raise NoSuchThing(str(error)) from None
    stops = [p for p in portfolio.problems_of.get(tag, ()) if p.severity == "stop"]
    _print(form, fit_text(found, power, stops), fit_json(found))


def _own_circuit(size: str | None, length: str | None, raceway: str | None) -> Conductors | None:
    """Return the conductors of a new circuit; None where none are asked about."""
    if not (size or length or raceway):
        return None
    if size and length and raceway:
        return conductors_of(size, length, raceway)
    raise CannotAsk("voltage drop asks for --conductors, --length and --raceway together")


@main.command(short_help="JSON Schema for editors.")
def schema() -> None:
    """Print the JSON Schema of a record file, for editors that check while typing."""
    click.echo(schema_text(), nl=False)


def _config_option(function: Any) -> Any:
    return click.option(
        "--config",
        type=click.Path(exists=True, dir_okay=False, path_type=Path),
        default=None,
        help="mkdocs.yml of the site; without one in this folder a plain one is used.",
    )(function)


@main.command(short_help="Build the site.")
@_config_option
@click.option(
    "--site-dir",
    type=click.Path(file_okay=False, path_type=Path),
    default=None,
    help="Folder to put the site in; the configuration names one.",
)
@click.option("--strict", is_flag=True, help="Build nothing where there is any finding.")
@as_of_option
def build(config: Path | None, site_dir: Path | None, strict: bool, as_of: dt.date | None) -> None:
    """Build the site; where the records cannot be read, the earlier site stays."""
    from recordgen.site.build import SiteNotBuilt, build_site
    from recordgen.site.plugin import RecordsUnreadable

    _log_to_stderr()
    try:
        target = build_site(config, site_dir, as_of=as_of, strict=strict)
    except RecordsUnreadable:
        # MkDocs has printed the errors with their places.
        sys.exit(WRONG_RECORDS)
    except SiteNotBuilt as error:
        click.echo(f"error: {error}", err=True)
        sys.exit(WRONG_USAGE)
    click.echo(f"The site is in {_near(target)}; open {_near(target / 'index.html')}")


@main.command(short_help="Serve the site while records change.")
@_config_option
@click.option("--host", default="127.0.0.1", show_default=True)
@click.option("--port", type=click.IntRange(1, 65535), default=8000, show_default=True)
@as_of_option
def serve(config: Path | None, host: str, port: int, as_of: dt.date | None) -> None:
    """Serve the site on this machine; a change of the records reloads the browser."""
    from recordgen.site.build import SiteNotBuilt, serve_site
    from recordgen.site.plugin import RecordsUnreadable

    _log_to_stderr()
    try:
        serve_site(config, as_of=as_of, address=(host, port))
    except RecordsUnreadable:
        sys.exit(WRONG_RECORDS)
    except SiteNotBuilt as error:
        click.echo(f"error: {error}", err=True)
        sys.exit(WRONG_USAGE)


def _near(path: Path) -> str:
    try:
        return str(path.relative_to(Path.cwd()))
    except ValueError:
        return str(path)


def _log_to_stderr() -> None:
    handler = logging.StreamHandler()
    handler.setFormatter(logging.Formatter("%(levelname)s %(message)s"))
    logger = logging.getLogger("mkdocs")
    logger.setLevel(logging.INFO)
    logger.handlers[:] = [handler]
