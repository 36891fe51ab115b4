"""Small changes of one source file, made by the operators of mutmut.

mutmut's own run leaves out decorated functions (the sums kept in a cache) and everything outside
functions (patterns, factors, tables); here its operators are let loose on those too.
"""

from __future__ import annotations

import ast
import difflib
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

import libcst as cst
from libcst.metadata import CodeRange, MetadataWrapper, PositionProvider
from mutmut.mutation.file_mutation import NEVER_MUTATE_FUNCTION_NAMES, MutationVisitor
from mutmut.mutation.mutators import mutation_operators
from mutmut.mutation.pragma_handling import IgnoredCode

Positions = Mapping[cst.CSTNode, CodeRange]
PROSE = re.compile(r"[A-Za-z,.;:]['\")]? [A-Za-z(]")
SYMBOLS = ("quantity/units.py", "quantity/kind.py", "quantity/ranges.py")
"""Files whose strings with a blank are units, not sentences."""
MEANT = ("as product", "not known", ", by volume", r"\N{NO-BREAK SPACE}", "mg/L as CaCO3")
"""Strings with a blank that the program reads again or calculates with."""


@dataclass(frozen=True)
class Mutant:
    """One change: where, the lines before and after, and the whole source with it.

    ``first`` to ``last`` are the lines of the statement it is in; ``kind`` is "code", "words"
    for a change of a sentence that is only shown, "class body" for one outside any function
    that a running program has already taken in.
    """

    file: str
    line: int
    first: int
    last: int
    kind: str
    before: str
    after: str
    source: str

    @property
    def name(self) -> str:
        return f"{self.file}:{self.line}  {self.before}  ->  {self.after}"


class _Everywhere(MutationVisitor):
    """mutmut's visitor, which also enters decorated functions."""

    def _skip_node_and_children(self, node: cst.CSTNode) -> bool:
        if isinstance(node, cst.FunctionDef):
            return node.name.value in NEVER_MUTATE_FUNCTION_NAMES
        return bool(super()._skip_node_and_children(node))


def mutants_of(file: str, path: Path) -> list[Mutant]:
    """Return every change of a file once, in the order of its lines."""
    source = path.read_text(encoding="utf-8")
    wrapper = MetadataWrapper(cst.parse_module(source))
    visitor = _Everywhere(mutation_operators, IgnoredCode(set(), set(), set()))
    wrapper.visit(visitor)
    positions = wrapper.resolve(PositionProvider)
    statements = _Statements(source)
    by_source: dict[str, Mutant] = {}
    for start, end, statement in _top_level(wrapper.module, positions):
        for mutation in visitor.mutations:
            place = positions.get(mutation.original_node)
            if place is None or not start <= place.start.line <= end:
                continue
            changed = statement.deep_replace(mutation.original_node, mutation.mutated_node)
            text = _spliced(wrapper.module, source, statement, changed, positions)
            if text == source or text in by_source:
                continue
            line = place.start.line
            before, after = _difference(source, text)
            words = _is_prose(file, mutation.original_node)
            kind = "words" if words else statements.kind(line)
            by_source[text] = Mutant(
                file, line, *statements.around(line), kind, before, after, text
            )
    return sorted(by_source.values(), key=lambda mutant: mutant.line)


def _top_level(module: cst.Module, positions: Positions) -> Iterator[tuple[int, int, cst.CSTNode]]:
    for statement in module.body:
        place = positions[statement]
        yield _first_line(statement, place, positions), place.end.line, statement


def _first_line(statement: cst.CSTNode, place: CodeRange, positions: Positions) -> int:
    decorators = getattr(statement, "decorators", ())
    lines: list[int] = [place.start.line, *(positions[d].start.line for d in decorators)]
    return min(lines)


def _spliced(
    module: cst.Module,
    source: str,
    statement: cst.CSTNode,
    changed: cst.CSTNode,
    positions: Positions,
) -> str:
    """Return the source with one top-level statement written anew."""
    lines = source.splitlines(keepends=True)
    bare = module.code_for_node(statement)
    last = positions[statement].end.line
    count = bare.count("\n")
    head, tail = lines[: last - count], lines[last:]
    assert "".join(lines[last - count : last]) == bare, f"line {last}"
    written: str = module.code_for_node(changed)
    return "".join(head) + written + "".join(tail)


def _difference(old: str, new: str) -> tuple[str, str]:
    """Return the first pair of lines that differ, without what they share around."""
    before, after = old.splitlines(), new.splitlines()
    matcher = difflib.SequenceMatcher(None, before, after, autojunk=False)
    for tag, i1, i2, j1, j2 in matcher.get_opcodes():
        if tag != "equal":
            gone = " ".join(line.strip() for line in before[i1:i2])
            here = " ".join(line.strip() for line in after[j1:j2])
            return gone, here
    return "", ""


def _is_prose(file: str, node: cst.CSTNode) -> bool:
    """Whether a change alters only the wording of a sentence."""
    if not isinstance(node, cst.SimpleString) or file in SYMBOLS:
        return False
    if "r" in node.prefix.lower() or node.raw_value in MEANT:
        return False
    return bool(PROSE.search(node.raw_value))


class _Statements:
    """Where the statements of a source begin and end."""

    def __init__(self, source: str) -> None:
        tree = ast.parse(source)
        self._spans: list[tuple[int, int]] = []
        self._functions: list[tuple[int, int]] = []
        self._classes: list[tuple[int, int]] = []
        for node in ast.walk(tree):
            if not isinstance(node, ast.stmt):
                continue
            body = getattr(node, "body", None)
            last = body[0].lineno - 1 if body else node.end_lineno
            self._spans.append((node.lineno, max(last or 0, node.lineno)))
            if isinstance(node, ast.FunctionDef):
                self._functions.append((node.lineno, node.end_lineno or 0))
            if isinstance(node, ast.ClassDef):
                self._classes.append((node.lineno, node.end_lineno or 0))

    def around(self, line: int) -> tuple[int, int]:
        """Return the smallest statement (its head alone, if it has a body) with a line."""
        inside = [span for span in self._spans if span[0] <= line <= span[1]]
        return min(inside, key=lambda span: span[1] - span[0], default=(line, line))

    def kind(self, line: int) -> str:
        """Return "class body" outside every function but inside a class, else "code"."""
        if any(first <= line <= last for first, last in self._functions):
            return "code"
        in_class = any(first <= line <= last for first, last in self._classes)
        return "class body" if in_class else "code"
