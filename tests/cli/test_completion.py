"""What a shell needs to complete commands: a script that asks the program itself."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from typer.testing import CliRunner

from tankside.cli.completion import VARIABLE, Shell
from tankside.cli.main import app


@pytest.mark.parametrize("shell", list(Shell))
def test_each_shell_gets_a_script_that_asks_the_program(shell: Shell) -> None:
    made = CliRunner().invoke(app, ["completion", shell.value])
    assert made.exit_code == 0
    assert VARIABLE in made.stdout
    assert f"complete_{shell.value}" in made.stdout or shell is Shell.POWERSHELL
    as_json = CliRunner().invoke(app, ["completion", shell.value, "--json"])
    assert json.loads(as_json.stdout)["script"].rstrip("\n") == made.stdout.rstrip("\n")


def test_a_shell_nobody_knows_is_refused() -> None:
    refused = CliRunner().invoke(app, ["completion", "tcsh", "--json"])
    assert refused.exit_code == 2
    assert json.loads(refused.stdout)["error"]["code"] == "E-CLI-01"


@pytest.mark.skipif(shutil.which("bash") is None, reason="needs bash")
def test_in_bash_the_tab_key_completes_a_command_and_a_sign(tmp_path: Path) -> None:
    program = tmp_path / "tankside"
    program.write_text(f"#!{sys.executable}\nfrom tankside.cli.main import app\napp()\n")
    program.chmod(0o755)
    script = (
        'eval "$(tankside completion bash)"\n'
        "COMP_WORDS=(tankside {words}); COMP_CWORD={last}; _tankside_completion tankside\n"
        'printf "%s\\n" "${{COMPREPLY[@]}}"'
    )
    env = {**os.environ, "PATH": f"{tmp_path}:{os.environ['PATH']}"}
    for words, last, wanted in (("fore", 1, "forecast"), ("findings flash", 2, "flashing")):
        ran = subprocess.run(
            ["bash", "-c", script.format(words=words, last=last)],
            capture_output=True, text=True, env=env, check=True,
        )  # fmt: skip
        assert wanted in ran.stdout.split(), ran.stderr
