"""Every source named in code is in the register."""

from __future__ import annotations

import ast
from pathlib import Path

from tankside.library import load

SOURCE = Path(__file__).resolve().parents[2] / "src" / "tankside"


def names(body: list[ast.stmt], path: Path | None) -> dict[str, str]:
    """Return the texts that names stand for in a body, those imported from the house too."""
    constants: dict[str, str] = {}
    for node in body:
        if isinstance(node, ast.ImportFrom) and path is not None and node.module:
            other = SOURCE.parent / f"{node.module.replace('.', '/')}.py"
            if other.exists():
                theirs = names(ast.parse(other.read_text(encoding="utf-8")).body, None)
                constants |= {
                    a.asname or a.name: theirs[a.name] for a in node.names if a.name in theirs
                }
        target = node.targets[0] if isinstance(node, ast.Assign) else getattr(node, "target", None)
        value = getattr(node, "value", None)
        if isinstance(target, ast.Name) and isinstance(value, ast.Constant):
            constants[target.id] = str(value.value)
    return constants


def cited_keys(code: str, path: Path | None = None) -> list[tuple[int, str]]:
    """Return (line, source key) of every call cited(value, key, ...)."""
    keys: list[tuple[int, str]] = []

    def walk(node: ast.AST, constants: dict[str, str]) -> None:
        if isinstance(node, ast.FunctionDef):
            constants = constants | names(node.body, None)
        if isinstance(node, ast.Call) and getattr(node.func, "id", "") == "cited":
            keywords = {word.arg: word.value for word in node.keywords}
            key = node.args[1] if len(node.args) > 1 else keywords.get("source")
            text = (
                key.value
                if isinstance(key, ast.Constant)
                else constants.get(getattr(key, "id", ""))
            )
            keys.append((node.lineno, str(text or "")))
        for child in ast.iter_child_nodes(node):
            walk(child, constants)

    tree = ast.parse(code)
    walk(tree, names(tree.body, path))
    return keys


def test_every_cited_key_is_in_the_register() -> None:
    works = load().sources
    dangling = [
        f"{path.relative_to(SOURCE)}:{line} {key!r}"
        for path in sorted(SOURCE.rglob("*.py"))
        for line, key in cited_keys(path.read_text(encoding="utf-8"), path)
        if key not in works
    ]
    assert dangling == [], "add the works to library/data/sources"


def test_a_planted_key_is_seen() -> None:
    assert cited_keys('x = cited(1.5, "nobody_1900", "eq. 1")') == [(1, "nobody_1900")]
    assert cited_keys('x = cited(1.5, source="nobody_1900")') == [(1, "nobody_1900")]
    assert cited_keys('WORK = "nobody_1900"\nx = cited(1.5, WORK)') == [(2, "nobody_1900")]
