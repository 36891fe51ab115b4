"""Put a changed source in the place of a module that is already loaded, in this process only."""

from __future__ import annotations

import ast
import functools
import inspect
import sys
from collections.abc import Iterator
from types import CodeType, FunctionType, ModuleType

Defaults = tuple[tuple[object, ...] | None, dict[str, object] | None]
ROOMS = ("tankside.quantity", "tankside.course")


def plant(module: ModuleType, source: str) -> None:
    """Give the functions and the values of a module those of ``source``.

    Functions keep who they are, so that whoever imported them runs the new code; values that
    differ are replaced wherever they were imported. Classes stay: only their methods change.
    """
    tree = ast.parse(source)
    codes = dict(_codes(compile(tree, str(module.__file__), "exec")))
    defaults = dict(_defaults(tree, module))
    for function in _functions(module):
        name = function.__qualname__
        if name in codes:
            function.__code__ = codes[name]
            function.__defaults__, function.__kwdefaults__ = defaults[name]
    _plant_values(module, tree)
    defaults = dict(_defaults(tree, module))  # again: a default may name a value
    for function in _functions(module):
        if function.__qualname__ in defaults:
            function.__defaults__, function.__kwdefaults__ = defaults[function.__qualname__]
    forget()


def forget() -> None:
    """Empty the caches of the rooms, so that every test computes for itself."""
    for name, module in list(sys.modules.items()):
        if name.startswith(ROOMS):
            for value in vars(module).values():
                if isinstance(value, functools._lru_cache_wrapper):
                    value.cache_clear()


def _codes(code: CodeType) -> Iterator[tuple[str, CodeType]]:
    for inner in code.co_consts:
        if isinstance(inner, CodeType):
            yield inner.co_qualname, inner
            yield from _codes(inner)


def _functions(module: ModuleType) -> Iterator[FunctionType]:
    for value in list(vars(module).values()):
        if inspect.isclass(value) and value.__module__ == module.__name__:
            for member in list(vars(value).values()):
                yield from _unwrapped(member, module)
        else:
            yield from _unwrapped(value, module)


def _unwrapped(value: object, module: ModuleType) -> Iterator[FunctionType]:
    """Yield the plain function in a property, a class method or a cached function."""
    if isinstance(value, property):
        value = value.fget
    value = getattr(value, "__func__", value)
    value = getattr(value, "__wrapped__", value)
    if isinstance(value, FunctionType) and value.__module__ == module.__name__:
        yield value


def _defaults(tree: ast.Module, module: ModuleType) -> Iterator[tuple[str, Defaults]]:
    """Yield the defaults of every function by its qualified name, worked out anew."""
    owners = [("", tree.body)]
    owners += [(f"{c.name}.", c.body) for c in tree.body if isinstance(c, ast.ClassDef)]
    for prefix, body in owners:
        for node in body:
            if isinstance(node, ast.FunctionDef):
                yield prefix + node.name, _defaults_of(node, module)


def _defaults_of(node: ast.FunctionDef, module: ModuleType) -> Defaults:
    def value(expression: ast.expr) -> object:
        code = compile(ast.Expression(expression), "default", "eval")
        return eval(code, dict(vars(module)))

    plain = tuple(value(default) for default in node.args.defaults) or None
    pairs = zip(node.args.kwonlyargs, node.args.kw_defaults, strict=True)
    named = {arg.arg: value(default) for arg, default in pairs if default is not None} or None
    return plain, named


def _plant_values(module: ModuleType, tree: ast.Module) -> None:
    """Run the statements outside functions and classes again and spread what came out new.

    What comes out equal stays the object it was.
    """
    skipped = (ast.FunctionDef, ast.ClassDef, ast.Import, ast.ImportFrom)
    rest = [node for node in tree.body if not isinstance(node, skipped)]
    before = dict(vars(module))
    exec(compile(ast.Module(rest, []), str(module.__file__), "exec"), vars(module))
    for name, old in before.items():
        new = vars(module)[name]
        if new is old:
            continue
        if type(new) is type(old) and new == old:
            setattr(module, name, old)
            continue
        for other in list(sys.modules.values()):
            if other is not None and vars(other).get(name) is old:
                setattr(other, name, new)
