"""Reading YAML to nodes, so that every value keeps the line and column it was written at.

Scalars stay text here: `off`, `010` and `2:4` mean what the field that receives them expects, not
what YAML 1.1 guesses. The limits keep a hostile or broken file from costing memory or time.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any, Final

import yaml
from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from recordgen.problems import Location, Problem

MAX_BYTES: Final = 5_000_000
MAX_NODES: Final = 500_000
MAX_DEPTH: Final = 40

_FAST_LOADER: Final[Any] = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_PLAIN_TAGS: Final = frozenset(
    f"tag:yaml.org,2002:{name}"
    for name in ("str", "int", "float", "bool", "null", "timestamp", "value", "merge")
)
_COLLECTION_TAGS: Final = frozenset({"tag:yaml.org,2002:map", "tag:yaml.org,2002:seq"})

Plain = str | None | dict[str, "Plain"] | list["Plain"]


class UnreadableError(Exception):
    """A file cannot be read as records; carries the one problem that says why."""

    def __init__(self, problem: Problem) -> None:
        super().__init__(str(problem))
        self.problem = problem


def _refuse(shown: str, code: str, message: str, hint: str, mark: Any = None) -> UnreadableError:
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
    return UnreadableError(Problem("error", code, message, Location(shown, line, column), hint))


def read_node(path: Path, shown: str) -> MappingNode:
    """Return the root mapping of a record file.

    Parameters
    ----------
    path : Path
        The file.
    shown : str
        The file's name as messages give it.

    Raises
    ------
    UnreadableError
        The file is too large, not UTF-8, empty, not YAML, or not a mapping.
    """
    text = _read_text(path, shown)
    try:
        node = yaml.compose(text, Loader=_FAST_LOADER)
    except yaml.YAMLError:
        # The C and the Python parser word their errors differently; read again with the Python
        # one so that every machine prints the same message.
        node = _compose_for_message(text, shown)
    if node is None:
        raise _refuse(
            shown, "empty-file", "the file holds no records", "delete it or add a section"
        )
    if not isinstance(node, MappingNode):
        raise _refuse(
            shown,
            "not-a-mapping",
            "expected sections such as `panels:` at the top of the file",
            "start with a section name and a colon",
            node.start_mark,
        )
    _check_shape(node, shown)
    return node


def _read_text(path: Path, shown: str) -> str:
    try:
        size = path.stat().st_size
        if size > MAX_BYTES:
            raise _refuse(
                shown,
                "file-too-large",
                f"the file has {size:,} bytes, at most {MAX_BYTES:,} are read",
                "split it; files below the building folder are merged",
            )
        data = path.read_bytes()
    except OSError as error:
        reason = (error.strerror or "cannot be read").lower()
        raise _refuse(
            shown, "unreadable-file", f"the file cannot be read: {reason}", "check its permissions"
        ) from None
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = data[: error.start]
        line = before.count(b"\n") + 1
        column = error.start - (before.rfind(b"\n") + 1) + 1
        raise UnreadableError(
            Problem(
                "error",
                "not-utf-8",
                f"byte 0x{data[error.start]:02x} is not UTF-8 text",
                Location(shown, line, column),
                "save the file as UTF-8",
            )
        ) from None
    return text


def _compose_for_message(text: str, shown: str) -> Node | None:
    try:
        return yaml.compose(text, Loader=yaml.SafeLoader)
    except yaml.reader.ReaderError as error:
        before = text[: error.position]
        line = before.count("\n") + 1
        column = error.position - (before.rfind("\n") + 1) + 1
        raise UnreadableError(
            Problem(
                "error",
                "control-character",
                f"the character U+{ord(text[error.position]):04X} is not allowed in YAML",
                Location(shown, line, column),
                "delete it",
            )
        ) from None
    except yaml.composer.ComposerError as error:
        what = f"{error.context or ''} {error.problem or ''}".strip()
        code, hint = (
            ("several-documents", "keep one document in a file, without `---` lines between")
            if "single document" in what
            else ("yaml-alias", "define the anchor (&name) once, before its alias (*name)")
        )
        raise _refuse(shown, code, what, hint, error.problem_mark) from None
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        problem = (error.problem or error.context or "not YAML").strip()
        code, message, hint = _syntax_hint(problem, text, mark)
        raise _refuse(shown, code, message, hint, mark) from None
    except RecursionError:
        raise _refuse(
            shown, "too-deep", f"values are nested deeper than {MAX_DEPTH}", "flatten them"
        ) from None


def _syntax_hint(problem: str, text: str, mark: Any) -> tuple[str, str, str]:
    lines = text.splitlines()
    line = lines[mark.line] if mark is not None and mark.line < len(lines) else ""
    if "\\t" in problem or "\t" in line[: len(line) - len(line.lstrip())]:
        return "tab", "a tab is used for indentation", "use spaces"
    if "mapping values are not allowed" in problem:
        return "yaml-syntax", problem, "quote text that holds a colon and a space"
    if "could not find expected ':'" in problem:
        return "yaml-syntax", problem, "end the key with a colon, or indent the text below its key"
    if "block end" in problem:
        return "yaml-syntax", problem, "check the indentation of this line against the ones above"
    return "yaml-syntax", problem, "check quotes, brackets and indentation near this place"


def _check_shape(root: Node, shown: str) -> None:
    """Refuse alias bombs, endless nesting and YAML object tags before anything is expanded."""
    seen = 0
    stack: list[tuple[Node, int, tuple[int, ...]]] = [(root, 1, ())]
    while stack:
        node, depth, above = stack.pop()
        seen += 1
        if id(node) in above:
            raise _refuse(
                shown, "yaml-alias", "a value contains itself", "remove the alias", node.start_mark
            )
        if seen > MAX_NODES:
            raise _refuse(
                shown,
                "alias-bomb",
                f"aliases unfold to more than {MAX_NODES:,} values",
                "write the values out, or split the file",
                node.start_mark,
            )
        if depth > MAX_DEPTH:
            raise _refuse(
                shown,
                "too-deep",
                f"values are nested deeper than {MAX_DEPTH}",
                "flatten them",
                node.start_mark,
            )
        _check_tag(node, shown)
        inside = (*above, id(node))
        stack.extend((child, depth + 1, inside) for child in _children(node))


def _check_tag(node: Node, shown: str) -> None:
    known = _PLAIN_TAGS if isinstance(node, ScalarNode) else _COLLECTION_TAGS
    if node.tag not in known:
        raise _refuse(
            shown,
            "yaml-tag",
            f"the YAML tag {node.tag} is not allowed",
            "write plain text, lists and mappings only",
            node.start_mark,
        )


def _children(node: Node) -> Sequence[Node]:
    if isinstance(node, MappingNode):
        return [part for pair in node.value for part in pair]
    return node.value if isinstance(node, SequenceNode) else ()


def entries(node: MappingNode, shown: str, problems: list[Problem]) -> Iterator[tuple[str, Node]]:
    """Yield key and value of a mapping; a key that is no text or comes twice is a problem."""
    first: dict[str, Node] = {}
    for key_node, value_node in node.value:
        place = location(key_node, shown)
        if not isinstance(key_node, ScalarNode):
            problems.append(
                Problem(
                    "error",
                    "bad-key",
                    "a key is a list or a mapping, expected a name",
                    place,
                    "quote names that hold brackets or braces",
                )
            )
            continue
        key = key_node.value
        if key_node.tag == "tag:yaml.org,2002:merge":
            problems.append(
                Problem(
                    "error",
                    "merge-key",
                    "the YAML merge key << is not read",
                    place,
                    "write the values out where they belong",
                )
            )
        elif key in first:
            problems.append(
                Problem(
                    "error",
                    "duplicate-key",
                    f'"{_shorten(key)}" stands twice in the same mapping',
                    place,
                    "keep one; YAML would silently drop the first",
                    related=(location(first[key], shown),),
                )
            )
        else:
            first[key] = key_node
            yield key, value_node


def plain(node: Node, shown: str, problems: list[Problem]) -> Plain:
    """Return a node as text, lists and dicts; empty, `~` and `null` become None (not recorded)."""
    if isinstance(node, MappingNode):
        return {key: plain(value, shown, problems) for key, value in entries(node, shown, problems)}
    if isinstance(node, SequenceNode):
        return [plain(item, shown, problems) for item in node.value]
    if node.tag == "tag:yaml.org,2002:null":
        return None
    return str(node.value)


def find(node: Node, path: Sequence[str | int]) -> Node:
    """Return the node at a path of keys and list indices; the deepest one that exists.

    Steps that are not in the file (names of union members in a validation error) are passed over.
    The last step `[key]`, as pydantic writes it, asks for the key of the entry before it.
    """
    here, key_here = node, node
    for step in path:
        if step == "[key]":
            return key_here
        if isinstance(here, MappingNode):
            for key_node, value_node in here.value:
                if isinstance(key_node, ScalarNode) and key_node.value == str(step):
                    here, key_here = value_node, key_node
                    break
        elif isinstance(here, SequenceNode) and isinstance(step, int) and step < len(here.value):
            here = key_here = here.value[step]
    return here


def key_of(node: Node, path: Sequence[str | int]) -> Node:
    """Return the key node of the entry at `path`, or the item itself in a list."""
    return find(node, (*path, "[key]"))


def location(node: Node, shown: str) -> Location:
    """Return the place where a node begins."""
    return Location(shown, node.start_mark.line + 1, node.start_mark.column + 1)


def _shorten(text: str) -> str:
    return text if len(text) <= 60 else text[:57] + "..."
