"""The story from the first call to the all-clear, told by the real services."""

from __future__ import annotations

from tankside.demo import script
from tankside.demo.examination import examine, opening, tank_and_water
from tankside.demo.files import Files, folder_for
from tankside.demo.following import follow_up
from tankside.demo.planning import choose_and_show
from tankside.demo.replay import Replay, time_of_the_story
from tankside.demo.stage import StoryStage
from tankside.demo.tell import Teller
from tankside.records.case_store import read_case
from tankside.terminal.progress import teller


def tell_story(out: str, *, silent: bool) -> dict[str, object]:
    """Tell the story and write its files.

    Args:
        out: folder to write to.
        silent: say nothing on standard output.

    Returns:
        The folder, the case file, the files written and how the case ended.

    Raises:
        BadInput: E-PATH-03 the folder holds another case under the name of this one.
        CouldNotSave: the disk refused.
        NotPossible: the print libraries are not installed.
    """
    folder = folder_for(out)
    voice = Teller(silent=silent)
    stage = StoryStage(Replay(folder / script.FILE), Files(folder), voice, teller(quiet=silent))
    with time_of_the_story():
        opening(stage)
        tank_and_water(stage)
        examine(stage)
        choose_and_show(stage)
        outcome = follow_up(stage)
    return _ending(stage, outcome)


def _ending(stage: StoryStage, outcome: str) -> dict[str, object]:
    folder, voice = stage.files.folder, stage.voice
    case = stage.replay.path
    voice.scene("What it left behind")
    voice.say(f"In {folder}: {script.FILE} (the case, {read_case(case).version} entries), "
              + ", ".join(stage.files.written) + ".")  # fmt: skip
    voice.lines(("", "Open it in the browser:", f"  tankside serve {case}", ""))
    voice.say("It was an invented case. No forecast here is validated on real tanks yet.")
    return {
        "folder": str(folder),
        "case": str(case),
        "outcome": outcome,
        "files": [script.FILE, *stage.files.written],
        "serve": f"tankside serve {case}",
    }
