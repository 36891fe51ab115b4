"""The public surface: a name, a type or a unit that changes makes this red; the notebook runs.

tests/golden/surface.json is the promise itself, not a measurement. A change of it belongs into the
changelog.
"""

from __future__ import annotations

import dataclasses
import inspect
import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any, get_args, get_type_hints

import pytest

import tankside

HERE = Path(__file__).resolve().parent
PROMISED = HERE / "golden" / "surface.json"
NOTEBOOK = HERE.parent / "docs" / "example.ipynb"


def described(name: str) -> dict[str, Any]:
    """Return the signature of a name, and the fields of what it gives or is."""
    value = getattr(tankside, name)
    if isinstance(value, type) and issubclass(value, Exception):
        return {"is": [kind.__name__ for kind in value.__mro__[:-1]]}
    shape: dict[str, Any] = {"takes": str(inspect.signature(value))}
    gives = value if isinstance(value, type) else get_type_hints(value).get("return")
    for kind in (gives, *get_args(gives)):
        if isinstance(kind, type) and dataclasses.is_dataclass(kind):
            fields = {field.name: str(field.type) for field in dataclasses.fields(kind)}
            shape.setdefault("fields", {})[kind.__name__] = fields
    return shape


@pytest.mark.parametrize("name", tankside.__all__)
def test_a_public_name_is_what_was_promised(name: str) -> None:
    promised = json.loads(PROMISED.read_text(encoding="utf-8"))
    assert described(name) == promised[name]


def test_nothing_else_is_public_and_every_public_name_says_what_it_is() -> None:
    promised = json.loads(PROMISED.read_text(encoding="utf-8"))
    assert sorted(promised) == sorted(tankside.__all__) == dir(tankside)
    for name in tankside.__all__:
        assert inspect.getdoc(getattr(tankside, name)), name
    with pytest.raises(AttributeError, match="no attribute 'unheard_of'"):
        _ = tankside.unheard_of


def test_importing_the_package_imports_no_room() -> None:
    script = "import sys, tankside; print([m for m in sys.modules if m.startswith('tankside.')])"
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"


def test_the_package_says_that_it_is_typed() -> None:
    assert (Path(str(tankside.__file__)).parent / "py.typed").exists()


def test_the_notebook_runs_from_top_to_bottom() -> None:
    cells = json.loads(NOTEBOOK.read_text(encoding="utf-8"))["cells"]
    assert all(not cell.get("outputs") for cell in cells), "outputs are not kept"
    script = "\n\n".join("".join(c["source"]) for c in cells if c["cell_type"] == "code")
    ran = subprocess.run(
        [sys.executable, "-c", script], capture_output=True, text=True, check=False,
        env={**os.environ, "TANKSIDE_NOW": "2026-03-02T20:00+00:00"},
    )  # fmt: skip
    assert ran.returncode == 0, ran.stderr
    refused, first, *_ = ran.stdout.splitlines()
    assert refused.startswith("E-RANGE-01")
    assert first.startswith("ICH ")
    assert "360 g of salt" in ran.stdout.replace("\u00a0", " "), "180 L at 2 g/L"
