"""Reading the text of a record file and composing it to YAML nodes, with messages people can use.

What the YAML library says when it gives up is written for the people who write parsers; the words
here are for those who write records.
"""

from __future__ import annotations

import codecs
import re
from pathlib import Path
from typing import Any, Final

import yaml
from yaml.nodes import Node

from recordgen.problems import Location, Problem

MAX_BYTES: Final = 5_000_000

_FAST_LOADER: Final[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_QUOTE_IT: Final = "put the whole text in quotes"
_COLON: Final = 'quote text that holds ": "'
_NEAR: Final = "check quotes, brackets and indentation near this place"

_Said = tuple[str, str, str]
"""Code, message and hint."""


class UnreadableError(Exception):
    """A file cannot be read as records; carries the one problem that says why."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


def refused(
    shown: str, code: str, message: str, hint: str, mark: Any = None, opened: Any = None
) -> UnreadableError:
    """Return the refusal of a file.

    Parameters
    ----------
    shown : str
        The file, as messages name it.
    code, message, hint : str
        Parts of the problem.
    mark : yaml.Mark or None
        Where; None for the beginning of the file.
    opened : yaml.Mark or None
        Where the value began that went wrong at `mark`.
    """
    related = (_place(shown, opened),) if opened is not None and opened.line != mark.line else ()
    return UnreadableError(Problem("error", code, message, _place(shown, mark), hint, related))


def _place(shown: str, mark: Any) -> Location:
    return Location(shown, mark.line + 1, mark.column + 1) if mark else Location(shown, 1, 1)


def _place_of_index(shown: str, text: str, index: int) -> Location:
    before = text[:index]
    return Location(shown, before.count("\n") + 1, index - (before.rfind("\n") + 1) + 1)


def read_text(path: Path, shown: str) -> str:
    """Return the text of a record file.

    Raises
    ------
    UnreadableError
        The file is too large, cannot be opened, or is not UTF-8.
    """
    try:
        size = path.stat().st_size
        if size > MAX_BYTES:
            raise refused(
                shown,
                "file-too-large",
                f"the file has {size:,} bytes, at most {MAX_BYTES:,} are read",
                "split it; files below the building folder are merged",
            )
        data = path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "cannot be read").lower()
        raise refused(
            shown, "unreadable-file", f"the file cannot be read: {reason}", "check its permissions"
        ) from None
    save = "save the file as UTF-8"
    if data.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE)):
        raise refused(shown, "not-utf-8", "the file is UTF-16 text, expected UTF-8", save)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start].decode("utf-8-sig")
        place = _place_of_index(shown, before, len(before))
        message = f"byte 0x{data[error.start]:02x} is not UTF-8 text"
        raise UnreadableError(Problem("error", "not-utf-8", message, place, save)) from None


def compose(text: str, shown: str) -> Node | None:
    """Return the root node of a YAML text; None where it holds nothing.

    Raises
    ------
    UnreadableError
        The text is not YAML, or holds several documents.
    RecursionError
        Values are nested deeper than the interpreter can follow.
    """
    try:
        return yaml.compose(text, Loader=_FAST_LOADER)
    except yaml.YAMLError:
        # The C and the Python parser word their errors differently; read again with the Python
        # one so that every machine prints the same message.
        return _compose_for_message(text, shown)


def _compose_for_message(text: str, shown: str) -> Node | None:
    try:
        return yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.reader.ReaderError as error:
        message = f"the character U+{ord(text[error.position]):04X} is not allowed in YAML"
        place = _place_of_index(shown, text, error.position)
        raise UnreadableError(
            Problem("error", "control-character", message, place, "delete it")
        ) from None
    except yaml.composer.ComposerError as error:
        raise _not_composed(error, shown) from None
    except yaml.MarkedYAMLError as error:
        mark, opened = error.problem_mark or error.context_mark, error.context_mark
        problem = (error.problem or error.context or "not YAML").strip()
        if "quoted scalar" in (error.context or "") and "end of stream" in problem:
            mark = opened
            said = ("yaml-syntax", "a quote opens here and is never closed", "close it")
        elif "scanning an a" in (error.context or "") and "numeric character" in problem:
            mark = opened  # an alias or anchor of no name: text that begins with * or &
            said = ("yaml-syntax", f'a value cannot begin with "{_at(text, mark)}"', _QUOTE_IT)
        else:
            said = _syntax(problem, text, mark)
        raise refused(shown, *said, mark, opened) from None


def _not_composed(error: yaml.composer.ComposerError, shown: str) -> UnreadableError:
    problem, mark = error.problem or "", error.problem_mark
    if "another document" in problem:
        message = "a second document begins here"
        hint = "keep one document in a file, without `---` lines between"
        return refused(shown, "several-documents", message, hint, mark)
    name = re.search("'(.*?)'", f"{error.context or ''} {problem}")
    word = name[1] if name else "it"
    if "undefined alias" in f"{error.context or ''} {problem}":
        message = f'the alias "*{word}" stands for nothing'
        hint = f"put text that begins with * in quotes, or define &{word} above"
        return refused(shown, "yaml-alias", message, hint, mark)
    message = f'the anchor "&{word}" is defined twice'
    hint = "give one of them another name; put text that begins with & in quotes"
    return refused(shown, "yaml-alias", message, hint, mark, error.context_mark)


def _at(text: str, mark: Any) -> str:
    line: str = text.splitlines()[mark.line]
    return line[mark.column]


def _syntax(problem: str, text: str, mark: Any) -> _Said:
    lines = text.splitlines()
    line = lines[mark.line] if mark is not None and mark.line < len(lines) else ""
    if "\\t" in problem or "\t" in line[: len(line) - len(line.lstrip())]:
        return "tab", "a tab is used for indentation", "use spaces"
    message, hint = _in_words(problem, line, mark)
    return "yaml-syntax", message, hint


def _in_words(problem: str, line: str, mark: Any) -> tuple[str, str]:
    if "mapping values are not allowed" in problem:
        if ": " in line[: mark.column]:
            return "a second colon makes a key of what stands before it", _COLON
        message = "this key does not fit the line above it"
        return message, "check the indentation, and that the line above ends its key with a colon"
    if "sequence entries are not allowed" in problem:
        return "a list begins on the line of its key", "begin it on the next line; quote a lone -"
    if "mapping keys are not allowed" in problem:
        return 'a value cannot begin with "?"', _QUOTE_IT
    if "could not find expected ':'" in problem:
        return "a key without its colon", "end the key with a colon, or indent text below its key"
    if match := re.search(r"expected <block end>, but found (.*)", problem):
        if match[1] == "'<scalar>'":
            return "text follows where a value has ended", _QUOTE_IT
        message = "this line does not fit the lines above it"
        return message, "check its indentation, and do not mix `- items` with `keys:`"
    if match := re.search(r"found character '(.*)' that cannot start any token", problem):
        return f'a value cannot begin with "{match[1]}"', _QUOTE_IT
    if match := re.search(r"expected ',' or '([]}])'", problem):
        what = {"]": "list in brackets", "}": "mapping in braces"}[match[1]]
        return f"a {what} is not closed before this", f'close it with "{match[1]}"'
    return problem, _NEAR
