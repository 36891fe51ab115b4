"""The command table: light to start, every row built, strict about mistakes."""

from __future__ import annotations

import json
import subprocess
import sys
import types
from importlib.metadata import version

import pytest
import typer
from typer.testing import CliRunner

from tankside.cli import bench, lazy, main
from tankside.errors import BadInput, CouldNotSave, Mistake, NotPossible

HEAVY = ("numpy", "scipy", "numba", "sqlalchemy", "fastapi", "pydantic", "rich", "typst")
runner = CliRunner()


def test_help_imports_nothing_heavy() -> None:
    script = (
        "import sys\n"
        "from tankside.cli.main import app\n"
        "try:\n    app(['--help'])\nexcept SystemExit:\n    pass\n"
        f"heavy = [m for m in {HEAVY!r} if m in sys.modules]\n"
        "ours = [m for m in sys.modules if m.startswith('tankside.') and m.count('.') == 2"
        " and not m.startswith(('tankside.cli.', 'tankside.errors.', 'tankside.terminal.'))]\n"
        "print('LOADED', heavy, ours)\n"
    )
    run = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert "Commands:" in run.stdout
    assert "LOADED [] []" in run.stdout


@pytest.fixture
def fake_command(monkeypatch: pytest.MonkeyPatch) -> types.ModuleType:
    module = types.ModuleType("tankside.cli.fake")
    monkeypatch.setitem(sys.modules, "tankside.cli.fake", module)
    monkeypatch.setitem(main.COMMANDS, "fake", lazy.own("fake", "a planted command"))
    return module


@pytest.mark.parametrize(
    "entry",
    [*main.COMMANDS.values(), *bench.Measurements.table.values()],
    ids=lambda entry: entry.summary,
)
def test_every_row_of_a_table_leads_to_a_command(entry: lazy.Entry) -> None:
    module = entry.load()
    assert callable(getattr(module, "app", None) or module.command)


@pytest.mark.parametrize(
    ("kind", "name", "code"),
    [(BadInput, "E-JSON-01", 2), (NotPossible, "E-PLAN-03", 3), (CouldNotSave, "E-DB-04", 5)],
    ids=["bad input", "not possible", "could not save"],
)
@pytest.mark.parametrize("flags", [[], ["--json"]], ids=["text", "json"])
def test_each_kind_of_mistake_has_its_exit_code(
    fake_command: types.ModuleType, kind: type[Mistake], name: str, code: int, flags: list[str]
) -> None:
    def command(json_: bool = typer.Option(False, "--json")) -> None:
        raise kind(name, "Wrong.", given="x", needed="y", next_step="Do z.", field="f")

    command.__annotations__ = {"json_": bool, "return": None}
    fake_command.command = command  # type: ignore[attr-defined]  # the command that a lazy group finds there
    result = runner.invoke(main.app, ["fake", *flags])
    assert result.exit_code == code
    if flags:
        assert json.loads(result.stdout) == {
            "error": {
                "code": name,
                "message": "Wrong.",
                "given": "x",
                "needed": "y",
                "next": "Do z.",
                "field": "f",
            }
        }
        assert result.stderr == ""
    else:
        assert result.stdout == ""
        assert f"{name}: Wrong." in result.stderr
        assert "Next: Do z." in result.stderr


def test_an_unknown_command_exits_2_as_text_and_as_json() -> None:
    assert runner.invoke(main.app, ["diferential"]).exit_code == 2
    result = runner.invoke(main.app, ["diferential", "--json"])
    assert result.exit_code == 2
    assert json.loads(result.stdout)["error"]["code"] == "E-CLI-01"


def test_no_command_shows_the_help_and_exits_2() -> None:
    result = runner.invoke(main.app, [])
    assert result.exit_code == 2
    assert "Commands:" in result.output


def test_the_version_is_that_of_the_installed_program() -> None:
    shown = runner.invoke(main.app, ["--version"])
    assert (shown.exit_code, shown.stdout) == (0, f"tankside {version('tankside')}\n")


@pytest.mark.parametrize(
    ("words", "near"),
    [(["forcast"], "perhaps forecast"), (["bench", "rnak"], "perhaps rank"),
     (["xyzzy"], "one of: demo, serve")],
)  # fmt: skip
def test_a_mistyped_command_is_told_what_was_meant(words: list[str], near: str) -> None:
    refused = runner.invoke(main.app, [*words, "--json"])
    assert refused.exit_code == 2
    error = json.loads(refused.stdout)["error"]
    assert (error["code"], error["given"]) == ("E-CLI-01", words[-1])
    assert error["needed"].startswith(near)
