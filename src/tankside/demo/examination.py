"""The call, the tank, the water and the fish: until it is known what it is."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import time

from tankside.demo import script
from tankside.demo.replay import KEEPER
from tankside.demo.stage import StoryStage
from tankside.present.blocks import Block, Words
from tankside.report.differential_json import case_differential_json
from tankside.report.differential_text import (
    cause_blocks,
    differential_document,
    keep_in_mind_block,
)
from tankside.report.differential_words import IDEA_SHOWN_BY
from tankside.report.page import open_case
from tankside.report.tank import tank_document
from tankside.report.tank_water import water_document
from tankside.services.differential import DifferentialAnswer
from tankside.services.differential_case import differential_of, write_own_idea

IDEA = "ICH"
FIRST = 3
"""Causes that the story tells of; the files hold the rest."""


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
    stage.show((keep_in_mind_block(differential_of(replay.path).differential),))


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
    write_own_idea(replay.path, IDEA, shown_by=IDEA_SHOWN_BY, by=script.BY)
    by_eye = differential_of(replay.path)
    before = by_eye.differential
    stage.files.answer("differential-by-eye.json", case_differential_json(by_eye))
    stage.show(_head(before))
    voice.scene("18:20. Lens and side light, then a scrape of the worst platy, 4 minutes old")
    replay.at(0, time(18, 20))
    replay.add(script.CLOSER_ENTRIES)
    replay.add(script.SCRAPE_ENTRIES)
    replay.add(script.FIRST_COUNTS)
    scraped = differential_of(replay.path)
    after = scraped.differential
    stage.files.answer("differential.json", case_differential_json(scraped))
    voice.text(_short(after))
    replay.add(
        (script.ScriptedEntry("confirmed", (f"condition={IDEA.lower()}", "shown-by=skin scrape")),)
    )


def _head(answer: DifferentialAnswer) -> Iterator[Block]:
    """Return the whole answer but the causes after the first three; the file holds the rest."""
    later = cause_blocks(answer)[FIRST:]
    document = differential_document(answer)
    for block in document.blocks:
        if block not in later:
            yield block
        elif block == later[0]:
            yield Words("", ("... (the whole list: differential-by-eye.json)",))
    yield Words("", (document.lead,))


def _short(answer: DifferentialAnswer) -> str:
    """Return the head of the ranking after the scrape."""
    rows = [block.title for block in cause_blocks(answer)[:FIRST]]
    return "\n".join(["WHAT FITS after the scrape (the whole list: differential.json)", *rows])
