"""Putting a record, a step or a key into a YAML file, every other byte of it left as it is.

Where it goes is read off the positions of what stands there already. The result is read again and
held against what was to come out: whatever the rules here do not foresee, such as an alias at the
end of a section, is refused and never guessed.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any, Final

from yaml.nodes import MappingNode, Node, ScalarNode, SequenceNode

from recordgen.records import yaml_nodes
from recordgen.records.yaml_text import UnreadableError, compose
from recordgen.records.yaml_writer import Value, entry_lines, flow, key_lines

_BREAK: Final = re.compile(r"\r\n|\n|\r")
_STEP: Final = 2


class NotSafe(ValueError):
    """Nothing was put in, because it cannot be told where it belongs; says why."""


@dataclass(frozen=True)
class Inserted:
    """A text with something put into it.

    Attributes
    ----------
    text : str
    line : int
        Where the new part begins, counted from 1.
    """

    text: str
    line: int


def with_record(text: str, section: str, tag: str, record: Value) -> Inserted:
    """Return a file's text with one more record at the end of a section.

    Parameters
    ----------
    text : str
        Of the whole file; may be empty. A section that it lacks is put at its end.
    section, tag : str
    record : Value

    Raises
    ------
    NotSafe
        The text is no mapping of sections, or where the record belongs cannot be told.
    """
    root = _root(text)

    def expected(plain: dict[str, Any]) -> None:
        records = plain.get(section) or {}
        plain[section] = {**records, tag: _read_back(record)}

    if root is None or _value(root, section) is None:
        return _checked(text, _new_section(text, root, section, tag, record), expected)
    found = _with_key(text, root, section, tag, record, entry_lines)
    return _checked(text, found, expected)


def with_item(text: str, path: tuple[str, str], key: str, item: Value) -> Inserted:
    """Return a file's text with one more item at the end of a list in a record.

    Parameters
    ----------
    text : str
    path : tuple of str
        Section and tag of the record.
    key : str
        Of the list; one that is not there yet is put at the end of the record.
    item : Value

    Raises
    ------
    NotSafe
    """
    record = _record(text, path)

    def expected(plain: dict[str, Any]) -> None:
        held = plain[path[0]][path[1]]
        held[key] = [*(held.get(key) or []), _read_back(item)]

    node = _value(record, key)
    if node is None:
        found = _into_mapping(text, record, key, [item], key_lines)
    elif isinstance(node, SequenceNode):
        found = _into_list(text, node, item)
    elif _is_empty(node):
        column = _key(record, key).start_mark.column + _STEP
        found = _lines_after(text, node.end_mark.index, column, [f"- {flow(item)}"])
    else:
        raise NotSafe(f"`{key}` is no list")
    return _checked(text, found, expected)


def with_key(text: str, path: tuple[str, str], key: str, value: Value) -> Inserted:
    """Return a file's text with one more key at the end of a record.

    Raises
    ------
    NotSafe
        Also where the record has the key already.
    """
    record = _record(text, path)
    if _value(record, key) is not None:
        raise NotSafe(f"`{key}` is there already")

    def expected(plain: dict[str, Any]) -> None:
        plain[path[0]][path[1]][key] = _read_back(value)

    return _checked(text, _into_mapping(text, record, key, value, key_lines), expected)


@dataclass(frozen=True)
class _Piece:
    at: int
    text: str
    lead: int = 0
    """Line breaks that come before what is put in."""


_Lines = Callable[[str, Value], Iterable[str]]


def _with_key(
    text: str, owner: MappingNode, section: str, tag: str, record: Value, lines: _Lines
) -> _Piece:
    node = _value(owner, section)
    if isinstance(node, MappingNode):
        return _into_mapping(text, node, tag, record, lines)
    if node is not None and _is_empty(node):
        column = owner.start_mark.column + _STEP
        return _lines_after(text, node.end_mark.index, column, lines(tag, record))
    raise NotSafe(f"`{section}` holds no tags and records")


def _new_section(
    text: str, root: MappingNode | None, section: str, tag: str, record: Value
) -> _Piece:
    if root is not None and root.flow_style:
        raise NotSafe("the file is written in braces")
    indent = " " * (root.start_mark.column if root is not None else 0)
    lines = [f"{section}:", *entry_lines(tag, record, " " * _STEP)]
    nl = _line_break(text)
    blank = nl if text.strip() else ""
    lead = "" if not text or _BREAK.fullmatch(text[-1]) else nl
    body = "".join(f"{indent}{line}{nl}" for line in lines)
    return _Piece(len(text), lead + blank + body, bool(lead) + bool(blank))


def _into_mapping(text: str, node: MappingNode, key: str, value: Value, lines: _Lines) -> _Piece:
    if node.flow_style:
        one = flow({key: value})[1:-1]
        last = node.value[-1] if node.value else None
        return _into_braces(node, one, None if last is None else _end(*last))
    return _lines_after(text, _end_of(node), node.start_mark.column, lines(key, value))


def _into_list(text: str, node: SequenceNode, item: Value) -> _Piece:
    last = node.value[-1] if node.value else None
    if node.flow_style:
        end = None if last is None else _end(node, last)
        return _into_braces(node, flow(item), end)
    if last is None or last.start_mark.index < node.start_mark.index:
        raise NotSafe("the last item of the list is an alias")
    begin = last.start_mark.index - last.start_mark.column
    hyphen = re.fullmatch(r"( *)- +", text[begin : last.start_mark.index])
    if hyphen is None:
        raise NotSafe("the last item of the list does not begin on the line of its hyphen")
    return _lines_after(text, _end_of(last), len(hyphen[1]), [f"{hyphen[0].lstrip()}{flow(item)}"])


def _into_braces(node: Node, one: str, end: int | None) -> _Piece:
    return _Piece(node.start_mark.index + 1, one) if end is None else _Piece(end, f", {one}")


def _lines_after(text: str, end: int, column: int, lines: Iterable[str]) -> _Piece:
    """Return lines for below what ends at an index and the comments that belong to it."""
    nl = _line_break(text)
    at = end if end and _BREAK.fullmatch(text[end - 1]) else _next_line(text, end)
    comment = re.compile(rf" {{{max(column, 1)},}}#")
    while comment.match(text, at):
        at = _next_line(text, at)
    lead = "" if _BREAK.fullmatch(text[at - 1 : at]) else nl
    body = "".join(f"{' ' * column}{line}{nl}" for line in lines)
    return _Piece(at, lead + body, 1 if lead else 0)


def _next_line(text: str, index: int) -> int:
    found = _BREAK.search(text, index)
    return found.end() if found else len(text)


def _line_break(text: str) -> str:
    found = _BREAK.search(text)
    return found[0] if found else "\n"


def _end_of(node: Node) -> int:
    """Return the index behind the last thing of a node, without the comments that follow."""
    if isinstance(node, MappingNode) and not node.flow_style and node.value:
        return _end(*node.value[-1])
    if isinstance(node, SequenceNode) and not node.flow_style and node.value:
        return _end(node, node.value[-1])
    return int(node.end_mark.index)


def _end(before: Node, node: Node) -> int:
    if node.start_mark.index < before.start_mark.index:
        raise NotSafe("an alias stands where it would go")
    return _end_of(node)


def _record(text: str, path: tuple[str, str]) -> MappingNode:
    root = _root(text)
    section = _value(root, path[0]) if root is not None else None
    record = _value(section, path[1]) if isinstance(section, MappingNode) else None
    if not isinstance(record, MappingNode) or section is None or root is None:
        raise NotSafe(f"{path[1]} is not written in this file as keys and values")
    key = _key(section, path[1])
    if record.start_mark.index < key.end_mark.index:
        raise NotSafe(f"{path[1]} is an alias")
    return record


def _root(text: str) -> MappingNode | None:
    try:
        node = compose(text, "")
    except (UnreadableError, RecursionError) as error:
        raise NotSafe("the file cannot be read as YAML") from error
    if node is None or isinstance(node, MappingNode):
        return node
    raise NotSafe("the file holds no sections")


def _key(node: Node, key: str) -> Node:
    return next(k for k, _ in node.value if isinstance(k, ScalarNode) and k.value == key)


def _value(node: Node, key: str) -> Node | None:
    values = (v for k, v in node.value if isinstance(k, ScalarNode) and k.value == key)
    return next(values, None)


def _is_empty(node: Node) -> bool:
    return isinstance(node, ScalarNode) and node.start_mark.index == node.end_mark.index


def _read_back(value: Value) -> yaml_nodes.Plain:
    node = compose(f"v: {flow(value)}", "")
    plain = yaml_nodes.plain(node, "", []) if node is not None else None
    return plain["v"] if isinstance(plain, dict) else None


def _checked(old: str, piece: _Piece, expected: Callable[[dict[str, Any]], None]) -> Inserted:
    """Return the new text, once it is sure that it says the old things and the new one."""
    text = old[: piece.at] + piece.text + old[piece.at :]
    wanted = _plain(old)
    expected(wanted)
    if _in_order(_plain(text)) != _in_order(wanted):
        raise NotSafe("it would change what else the file says")
    return Inserted(text, len(_BREAK.findall(old[: piece.at])) + piece.lead + 1)


def _plain(text: str) -> dict[str, Any]:
    root = _root(text)
    plain = yaml_nodes.plain(root, "", []) if root is not None else {}
    return plain if isinstance(plain, dict) else {}


def _in_order(plain: Any) -> Any:
    """Return values that differ also where only the order of keys does."""
    if isinstance(plain, dict):
        return [(key, _in_order(value)) for key, value in plain.items()]
    if isinstance(plain, Sequence) and not isinstance(plain, str):
        return [_in_order(value) for value in plain]
    return plain
