"""Imports point down the list of layers only (design of the project), also inside functions."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

import recordgen

PACKAGE = Path(recordgen.__file__).parent
LAYERS = [
    {"problems", "as_of"},
    {"records"},
    {"network"},
    {"calc"},
    {"evidence"},
    {"checks"},
    {"pages"},
    {"exchange"},
    {"portfolio"},
    {"site"},
    {"cli", "terminal"},
]
LEVEL = {name: level for level, names in enumerate(LAYERS) for name in names}
MODULES = sorted(path for path in PACKAGE.rglob("*.py") if path != PACKAGE / "__init__.py")
# Who may know of a library that one layer is there to keep from the others.
KEPT_IN = {
    "mkdocs": {"site"},
    "material": set(),
    "networkx": {"network"},
    "click": {"cli", "terminal"},
}


def layer_of(path: Path) -> str:
    return path.relative_to(PACKAGE).with_suffix("").parts[0]


def imported(tree: ast.AST) -> Iterator[str]:
    """Yield the full names of imported modules, but for those that only type checkers see."""
    for node in ast.iter_child_nodes(tree):
        if isinstance(node, ast.If) and "TYPE_CHECKING" in ast.unparse(node.test):
            continue
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are absolute here"
            yield node.module or ""
            yield from (f"{node.module}.{alias.name}" for alias in node.names)
        else:
            yield from imported(node)


@pytest.mark.parametrize("path", MODULES, ids=lambda path: str(path.relative_to(PACKAGE)))
def test_a_module_imports_from_its_own_layer_and_those_below(path: Path) -> None:
    own = layer_of(path)
    for name in imported(ast.parse(path.read_text())):
        parts = name.split(".")
        if parts[0] == "recordgen" and len(parts) > 1 and parts[1] in LEVEL:
            assert LEVEL[parts[1]] <= LEVEL[own], f"{own} imports {name}"
        assert own in KEPT_IN.get(parts[0], {own}), f"{own} imports {name}"


def test_every_module_has_a_layer() -> None:
    assert {layer_of(path) for path in MODULES} <= set(LEVEL)


def test_the_check_sees_imports_wherever_they_stand() -> None:
    source = "import a.b\nif TYPE_CHECKING:\n    import c\ndef f():\n    from d import e\n"
    assert list(imported(ast.parse(source))) == ["a.b", "d", "d.e"]
