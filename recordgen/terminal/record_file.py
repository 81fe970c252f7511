"""The file that a record goes into: found, tried out on a copy, and replaced in one step."""

from __future__ import annotations

import codecs
import os
import shutil
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Final, Literal

from yaml.nodes import MappingNode

from recordgen.portfolio import Portfolio, load_portfolio
from recordgen.records.loader import record_files
from recordgen.records.yaml_insert import Inserted, NotSafe
from recordgen.records.yaml_nodes import entries, read_node
from recordgen.records.yaml_text import UnreadableError

FieldSection = Literal["traces", "faults"]
_BOM: Final = codecs.BOM_UTF8


class NotWritten(Exception):
    """The records stay as they were; says why."""


@dataclass(frozen=True)
class FieldFile:
    """A record file as it was read.

    Attributes
    ----------
    path : Path
    data : bytes or None
        None where there is no such file yet.
    text : str
    """

    path: Path
    data: bytes | None
    text: str

    def encoded(self, text: str) -> bytes:
        """Return a text as bytes, with the mark at its beginning where the file had one."""
        mark = _BOM if self.data is not None and self.data.startswith(_BOM) else b""
        return mark + text.encode()


def file_of_section(folder: Path, section: FieldSection) -> FieldFile:
    """Return the file that a new record of a section goes into.

    Parameters
    ----------
    folder : Path
        Of the building.
    section : FieldSection

    Returns
    -------
    FieldFile
        `field/SECTION.yaml` where it holds the section or no file does; else the one that holds
        most records of it, the first of several.
    """
    usual = folder / "field" / f"{section}.yaml"
    tags = {path: len(found) for path, found in _tags(folder, section).items()}
    if usual in tags or not tags:
        return _read(usual)
    return _read(max(tags, key=lambda path: tags[path]))


def file_of_record(folder: Path, section: FieldSection, tag: str) -> FieldFile:
    """Return the file that a record stands in.

    Raises
    ------
    NotWritten
        It is in none any more.
    """
    for path, found in _tags(folder, section).items():
        if tag in found:
            return _read(path)
    raise NotWritten(f"{tag} is in no file of {folder} any more")


def tried(records: Path, file: FieldFile, text: str, portfolio: Portfolio) -> Portfolio:
    """Return the portfolio as it would be with a file's new text; nothing is written for it.

    Parameters
    ----------
    records : Path
        The folder of buildings.
    file : FieldFile
    text : str
    portfolio : Portfolio
        As it is: its day counts.

    Raises
    ------
    NotWritten
        A file cannot be read any more.
    """
    with tempfile.TemporaryDirectory(prefix="recordgen-") as name:
        copy = Path(name) / "buildings"
        try:
            for building in portfolio.buildings:
                (copy / building).mkdir(parents=True)
                for path in record_files(records / building):
                    _copied(path, copy / path.relative_to(records))
        except OSError as error:
            raise NotWritten(f"{records} cannot be read: {_reason(error)}") from None
        target = copy / file.path.relative_to(records)
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes(file.encoded(text))
        return load_portfolio(copy, portfolio.as_of, records.as_posix())


def _copied(path: Path, target: Path) -> None:
    target.parent.mkdir(parents=True, exist_ok=True)
    shutil.copyfile(path, target)


def put(file: FieldFile, change: Callable[[str], Inserted]) -> Inserted:
    """Return a file's text with something put in.

    Raises
    ------
    NotWritten
    """
    try:
        return change(file.text)
    except NotSafe as error:
        raise NotWritten(f"{file.path}: where it belongs cannot be told, since {error}") from None


def replace_file(file: FieldFile, text: str) -> None:
    """Put a new text in the place of a file, whole or not at all.

    Raises
    ------
    NotWritten
        The file is another one than was read, or cannot be written.
    """
    # A link stays one: what it leads to is replaced.
    path = file.path.resolve()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        beside = _written_beside(path, file.encoded(text))
    except OSError as error:
        raise NotWritten(f"{file.path} cannot be written: {_reason(error)}") from None
    try:
        if _data(path) != file.data:
            raise NotWritten(f"{file.path} was changed by somebody else in the meantime")
        beside.replace(path)
    except OSError as error:
        raise NotWritten(f"{file.path} cannot be written: {_reason(error)}") from None
    finally:
        beside.unlink(missing_ok=True)


def _written_beside(path: Path, data: bytes) -> Path:
    """Return a hidden file beside one, of the same access rights, that holds the data."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".tmp")
    beside = Path(name)
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            shutil.copymode(path, beside)
        else:
            umask = os.umask(0)
            os.umask(umask)
            beside.chmod(0o666 & ~umask)
    except BaseException:
        beside.unlink(missing_ok=True)
        raise
    return beside


def _reason(error: OSError) -> str:
    return (error.strerror or "it is refused").lower()


def _data(path: Path) -> bytes | None:
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _read(path: Path) -> FieldFile:
    data = _data(path)
    if data is None:
        return FieldFile(path, None, "")
    try:
        return FieldFile(path, data, data.removeprefix(_BOM).decode())
    except UnicodeDecodeError:
        raise NotWritten(f"{path} is not UTF-8 text any more") from None


def _tags(folder: Path, section: FieldSection) -> dict[Path, set[str]]:
    """Return file → the tags that it holds in a section, for files that have the section."""
    found: dict[Path, set[str]] = {}
    for path in record_files(folder):
        try:
            root = read_node(path, str(path))
        except UnreadableError:
            continue
        for key, node in entries(root, str(path), []):
            if key.value == section:
                pairs = node.value if isinstance(node, MappingNode) else []
                found[path] = {tag.value for tag, _ in pairs}
    return found
