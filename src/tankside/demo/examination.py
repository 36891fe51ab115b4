"""The call, the tank, the water and the fish: until it is known what it is."""

from __future__ import annotations

from datetime import time

from tankside.demo import script
from tankside.demo.replay import KEEPER
from tankside.demo.stage import StoryStage
from tankside.report.differential_json import as_object
from tankside.report.differential_text import as_text, early_text
from tankside.report.page import open_case
from tankside.report.tank import tank_document
from tankside.report.tank_water import water_document
from tankside.services.differential_case import CaseDifferential, differential_of, write_own_idea

IDEA = "ICH"


def opening(stage: StoryStage) -> None:
    """The first call: what to say now, what to keep in mind."""
    voice, replay = stage.voice, stage.replay
    voice.scene("Wed 18 Mar 2026, 17:20. The call")
    voice.say("An invented case: keeper, tank and counts are made up; the work is real.")
    voice.quote(KEEPER, script.CALL)
    replay.open()
    replay.at(0, time(17, 25))
    replay.add(script.CALL_ENTRIES)
    voice.say(
        "Said at once: air on, no food, nothing into the water, keep a litre of it in a closed "
        "bottle. Then: what came in, what changed, what is in the water already?"
    )
    voice.text(early_text(differential_of(replay.path).found))


def tank_and_water(stage: StoryStage) -> None:
    """How much water, what lives in it, what the tests read."""
    voice, replay = stage.voice, stage.replay
    voice.scene("17:40. The tank, by tape and by hose")
    replay.at(0, time(17, 40))
    replay.add(script.TANK_ENTRIES)
    stage.show(tank_document(open_case(replay.path)).blocks)
    voice.say("The label is kept, and never dosed on. The dial says 26 C; the thermometer decides.")
    voice.scene("17:55. The water")
    replay.at(0, time(17, 55))
    replay.add(script.WATER_ENTRIES)
    stage.show(water_document(open_case(replay.path)).blocks[:1])


def examine(stage: StoryStage) -> None:
    """Signs first, own idea, ranking, the look it asks for, and the ranking again."""
    voice, replay = stage.voice, stage.replay
    voice.scene("18:05. The fish, from outside")
    replay.at(0, time(18, 5))
    replay.add(script.EXAM_ENTRIES)
    voice.say("Own first idea, written down before any ranking is shown: white spot.")
    write_own_idea(replay.path, IDEA, by=script.BY)
    before = differential_of(replay.path)
    stage.files.answer("differential-by-eye.json", as_object(before.found))
    voice.text(_head(as_text(before.found)))
    voice.scene("18:20. Lens and side light, then a scrape of the worst platy, 4 minutes old")
    replay.at(0, time(18, 20))
    replay.add(script.CLOSER_ENTRIES)
    replay.add(script.SCRAPE_ENTRIES)
    replay.add(script.FIRST_COUNTS)
    after = differential_of(replay.path)
    stage.files.answer("differential.json", as_object(after.found))
    voice.text(_short(after))
    replay.add(
        (script.ScriptedEntry("confirmed", (f"condition={IDEA.lower()}", "shown-by=skin scrape")),)
    )


def _head(text: str) -> str:
    """Return the strip, the first three causes and the first look; the file holds the rest."""
    blocks = text.split("\n\n")
    kept = []
    for block in blocks:
        lines = block.split("\n")
        for number, line in enumerate(lines):
            if line.startswith(("  4. ", "  Two causes")):
                lines = [*lines[:number], "  ... (the whole list: differential-by-eye.json)"]
                break
        kept.append("\n".join(lines))
    return "\n\n".join(kept)


def _short(answered: CaseDifferential) -> str:
    """Return the head of the ranking after the scrape."""
    differential = answered.found
    order = differential.ranking.order()[:3]
    rows = [f"{n}. {differential.name(c)}: {differential.words(differential.ranking.of(c))}"
            for n, c in enumerate(order, 1)]  # fmt: skip
    return "\n".join(["WHAT FITS after the scrape (the whole list: differential.json)", *rows])
