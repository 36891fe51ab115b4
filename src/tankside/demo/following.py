"""Counts come back: the tempting zero, the wait, the last looks, the end."""

from __future__ import annotations

from datetime import time

from tankside.demo import script
from tankside.demo.replay import KEEPER
from tankside.demo.script import Check, Told, clean_check
from tankside.demo.stage import Stage
from tankside.follow import Advice
from tankside.present.clock import day_words
from tankside.services.follow import FollowUp, follow
from tankside.services.follow_text import follow_json, follow_text


def follow_up(stage: Stage) -> str:
    """Go through the visits; return how the case ended."""
    found = None
    for check in script.CHECKS:
        found = visit(stage, check)
    while found is not None and found.decided.advice is not Advice.MAY_DISCUSS:
        day = max(_next_day(stage, found), found.day_number + 1)
        if day > script.LAST_CHECK:
            return _unfinished(stage)
        found = visit(stage, clean_check(day))
    return _close(stage, found)


def visit(stage: Stage, check: Check) -> FollowUp | None:
    """Enter the counts of one day; where the keeper asks, hold them against the course."""
    voice, replay = stage.voice, stage.replay
    voice.scene(f"{day_words(replay.day(check.day))}, day {check.day}")
    replay.at(check.day, time(18, 0))
    replay.add(check.entries)
    voice.lines(f"  {_words(told)}" for told in check.entries)
    if check.keeper:
        voice.quote(KEEPER, check.keeper)
    if not check.asks:
        return None
    found = follow(replay.path, progress=stage.progress)
    stage.files.answer(f"follow-day-{check.day:02d}.json", follow_json(found))
    voice.text(follow_text(found))
    if found.decided.advice is not Advice.MAY_DISCUSS:
        told = f"reason={found.decided.reasons[0]}"
        replay.add((Told("decision", ("go-on", told)),))
        voice.say("Decision, written into the case: go on.")
    return found


def _words(told: Told) -> str:
    return f"{told.kind}: {', '.join(told.words)}"


def _next_day(stage: Stage, found: FollowUp) -> int:
    """Return the day of the next visit: when the wait is over, then every few days."""
    wait = found.not_before.day
    if wait is not None and wait > found.day_number:
        return wait
    return found.day_number + script.LATER_EVERY


def _close(stage: Stage, found: FollowUp | None) -> str:
    voice, replay = stage.voice, stage.replay
    voice.say("Keeper and practitioner talk it over and decide to stop; the wait is over.")
    reason = "the wait is over, and the latest look was clean by eye and under the microscope"
    replay.add((Told("decision", ("stop", f"reason={reason}")),))
    replay.add((Told("closed", ("clear", f"reason={reason}")),))
    voice.say("Carbon back, salt out by part changes. The case is closed: clear.")
    return "clear"


def _unfinished(stage: Stage) -> str:
    reason = "the counts never allowed a stop to be discussed in the time of this story"
    stage.replay.add((Told("decision", ("go-on", f"reason={reason}")),))
    stage.voice.say(f"The story ends here unfinished: {reason}.")
    return "open"
