"""No module needs itself: the graph of all imports, type-only and late ones too, has no circle."""

from __future__ import annotations

import ast
from collections.abc import Mapping
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

SOURCE = Path(__file__).resolve().parents[2] / "src" / "tankside"
Graph = Mapping[str, set[str]]


def module_names(root: Path) -> dict[str, Path]:
    """Return every module under a package by its dotted name."""
    named = {}
    for path in sorted(root.rglob("*.py")):
        parts = path.relative_to(root.parent).with_suffix("").parts
        named[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return named


def imported(source: str, modules: set[str]) -> set[str]:
    """Return the modules of the tree that a source imports, wherever the import stands.

    ``from room import name`` needs the submodule where ``name`` is one, else the room itself.
    """
    needed = set()
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            needed |= {alias.name for alias in node.names} & modules
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "an import names its module in full"
            for alias in node.names:
                inner = f"{node.module}.{alias.name}"
                needed |= {inner if inner in modules else str(node.module)} & modules
    return needed


def graph_of(root: Path) -> Graph:
    """Return for each module the modules it imports anywhere in its file."""
    paths = module_names(root)
    return {
        name: imported(path.read_text(encoding="utf-8"), set(paths)) for name, path in paths.items()
    }


def circle(graph: Graph) -> list[str]:
    """Return the modules of one circle in order, none when there is no circle."""
    try:
        TopologicalSorter(graph).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def test_no_module_imports_itself_by_any_way_round() -> None:
    assert circle(graph_of(SOURCE)) == []


@pytest.mark.parametrize(
    "line",
    [
        "from pack.low import THING",
        "from pack import low",
        "import pack.low",
        "if TYPE_CHECKING:\n    from pack.low import THING",
        "def late():\n    from pack.low import THING",
    ],
)
def test_a_planted_circle_is_found(tmp_path: Path, line: str) -> None:
    pack = tmp_path / "pack"
    pack.mkdir()
    for name, source in (("__init__", ""), ("high", line), ("low", "")):
        (pack / f"{name}.py").write_text(source + "\n", encoding="utf-8")
    assert circle(graph_of(pack)) == []
    (pack / "low.py").write_text("from pack.high import THING\n", encoding="utf-8")
    assert set(circle(graph_of(pack))) == {"pack.high", "pack.low"}
