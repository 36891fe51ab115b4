"""``tankside completion``: what a shell needs to offer commands and signs at the Tab key."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from tankside.terminal.output import answer

PROGRAM, VARIABLE = "tankside", "_TANKSIDE_COMPLETE"


class Shell(StrEnum):
    """Shells that a script is known for."""

    BASH = "bash"
    ZSH = "zsh"
    FISH = "fish"
    POWERSHELL = "powershell"


def command(
    shell: Annotated[Shell, typer.Argument(help="the shell that is to complete")],
    as_json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Print the script that completes commands in a shell.

    bash and zsh, now: eval "$(tankside completion bash)"; for good, put that line into ~/.bashrc
    or ~/.zshrc. fish: tankside completion fish > ~/.config/fish/completions/tankside.fish
    """
    from typer._completion_shared import get_completion_script

    script = get_completion_script(prog_name=PROGRAM, complete_var=VARIABLE, shell=shell.value)
    answer({"shell": shell.value, "script": script}, script, as_json=as_json)
