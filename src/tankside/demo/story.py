"""The story from the first call to the all-clear, told by the real services."""

from __future__ import annotations

import shutil
import sys
from enum import StrEnum
from pathlib import Path

from tankside.demo import script
from tankside.demo.brief import tell_brief
from tankside.demo.examination import examine, opening, tank_and_water
from tankside.demo.files import Files, folder_for
from tankside.demo.following import follow_up
from tankside.demo.planning import choose_and_show
from tankside.demo.replay import Replay, time_of_the_story
from tankside.demo.stage import StoryStage
from tankside.demo.tell import Teller
from tankside.records.case_store import read_case
from tankside.terminal.progress import teller


class Length(StrEnum):
    """How much of the story is written on standard output."""

    NOTHING = "nothing"
    BRIEF = "brief"
    WHOLE = "whole"


def tell_story(out: str, length: Length) -> dict[str, object]:
    """Tell the story and write its files.

    Args:
        out: folder to write to.
        length: how much of it is written on standard output.

    Returns:
        The folder, the case file, the files written and how the case ended.

    Raises:
        BadInput: E-PATH-03 the folder holds another case under the name of this one.
        CouldNotSave: the disk refused.
        NotPossible: the print libraries are not installed.
    """
    folder = folder_for(out)
    voice = Teller(silent=length is Length.NOTHING)
    scenes = Teller(silent=length is not Length.WHOLE)
    progress = teller(quiet=length is Length.NOTHING)
    stage = StoryStage(Replay(folder / script.FILE), Files(folder), scenes, progress)
    with time_of_the_story():
        opening(stage)
        tank_and_water(stage)
        examine(stage)
        choose_and_show(stage)
        outcome = follow_up(stage)
    if length is Length.BRIEF:
        voice.say("An invented case, worked out just now; every number is the program's own.")
        tell_brief(voice, folder)
    return _ending(stage, voice, outcome)


def _ending(stage: StoryStage, voice: Teller, outcome: str) -> dict[str, object]:
    folder, case = stage.files.folder, stage.replay.path
    stage.voice.scene("What it left behind")
    voice.say(f"In {folder}: {script.FILE} (the case, {read_case(case).version} entries), "
              + ", ".join(stage.files.written) + ".")  # fmt: skip
    voice.say("No forecast here is validated on real tanks yet. The long form: --story.")
    serve = f"{_command()} serve {case}"
    voice.lines(("", "Open the same case in the browser:", f"  {serve}"))
    return {
        "folder": str(folder),
        "case": str(case),
        "outcome": outcome,
        "files": [script.FILE, *stage.files.written],
        "serve": serve,
    }


def _command() -> str:
    """Return how this program is called from here: by its name where a shell finds it so."""
    called = Path(sys.argv[0])
    if shutil.which("tankside") or called.stem != "tankside" or not called.exists():
        return "tankside"
    here = Path.cwd()
    return str(called.relative_to(here) if called.is_relative_to(here) else called)
