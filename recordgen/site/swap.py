"""Build a folder aside and put it into place at the end, so that the earlier one is never lost."""

from __future__ import annotations

import secrets
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

MARKER = ".recordgen-site"


class ForeignFolder(Exception):
    """The target folder holds something that we have not made; it is left alone."""


def mark(folder: Path) -> None:
    """Mark a folder as made by this program, so that a later build may replace it."""
    (folder / MARKER).write_text("Made by recordgen, which may replace this folder.\n")


@contextmanager
def built_aside(target: Path) -> Iterator[Path]:
    """Give an empty folder beside `target`, and put it in the place of `target` on success.

    On any failure, an interrupt from the keyboard included, the new folder is removed and
    `target` is what it was. A symbolic link as `target` goes on pointing to the same place.

    Raises
    ------
    ForeignFolder
        If `target` is a file, or a folder with something in it and without our mark.
    """
    target = target.resolve()
    _put_back(target)
    _refuse_foreign(target)
    new = _aside(target)
    new.mkdir(parents=True)
    try:
        yield new
        _refuse_foreign(target)
        _exchange(new, target)
    finally:
        shutil.rmtree(new, ignore_errors=True)


def _refuse_foreign(target: Path) -> None:
    if not target.exists():
        return
    if not target.is_dir():
        raise ForeignFolder(f"{target} is a file; expected a folder for the site")
    if not (target / MARKER).is_file() and any(target.iterdir()):
        raise ForeignFolder(
            f"{target} holds something that recordgen has not made; "
            f"name another folder for the site, or empty this one yourself"
        )


def _aside(target: Path) -> Path:
    return target.with_name(f".{target.name.lstrip('.')}.{secrets.token_hex(4)}")


def _earlier(target: Path) -> Path:
    return target.with_name(f".{target.name}.earlier")


def _put_back(target: Path) -> None:
    """Finish what a build left that was killed between its two renames."""
    earlier = _earlier(target)
    if (earlier / MARKER).is_file():
        if target.exists():
            _discard(earlier)
        else:
            earlier.rename(target)


def _exchange(new: Path, target: Path) -> None:
    earlier = _earlier(target)
    try:
        if target.exists():
            target.rename(earlier)
        new.rename(target)
    except BaseException:
        if earlier.exists() and not target.exists():
            earlier.rename(target)
        raise
    if earlier.exists():
        _discard(earlier)


def _discard(folder: Path) -> None:
    """Remove a folder under a name that no later build will need, should this be cut short."""
    leaving = _aside(folder)
    folder.rename(leaving)
    shutil.rmtree(leaving, ignore_errors=True)
