"""Counts come back: the tempting zero, the wait, the last looks, the end."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import time

from tankside.demo import script
from tankside.demo.hidden_tank import HiddenTank, draw_tank
from tankside.demo.replay import KEEPER
from tankside.demo.script import ScriptedEntry
from tankside.demo.stage import StoryStage
from tankside.follow import Advice
from tankside.present.block_text import document_text
from tankside.quantity.dates import day_words
from tankside.records.case_store import read_case
from tankside.report.follow_document import follow_document
from tankside.report.follow_json import follow_json
from tankside.services.earliest_stop import earliest_stop
from tankside.services.follow import follow
from tankside.services.follow_answer import FollowAnswer

FISH_ON_SLIDES = 5
EARLY_VISITS = (2, 4)


@dataclass(slots=True)
class Visits:
    """The visits of the story: the tank behind them and the day of the last one."""

    stage: StoryStage
    tank: HiddenTank
    last: int = 0

    def look(self, day: int, says: str = "") -> None:
        """Enter what is counted on an evening, and the deaths since the visit before."""
        voice, replay = self.stage.voice, self.stage.replay
        voice.scene(f"{day_words(replay.day(day))}, day {day}")
        replay.at(day, time(18, 0))
        seen = (*self.tank.counts(day), *self.tank.deaths(self.last, day))
        self.last = day
        self._enter(seen)
        if says:
            voice.quote(KEEPER, says)

    def slides(self) -> None:
        """Take skin scrapes of some platies on the evening of the last visit."""
        self._enter((self.tank.slide(self.last, FISH_ON_SLIDES),))

    def _enter(self, entries: tuple[ScriptedEntry, ...]) -> None:
        self.stage.replay.add(entries)
        self.stage.voice.lines(f"  {entry.kind}: {', '.join(entry.words)}" for entry in entries)

    def wait(self) -> int:
        """Tell the date to wait for; return its day, or the next visit where there is none."""
        earliest = earliest_stop(read_case(self.stage.replay.path).view())
        self.stage.voice.say(f"Nothing wrong: it was off the fish, not gone. {earliest.words}")
        return max(earliest.day or 0, self.last + 1)

    def ask(self) -> FollowAnswer:
        """Hold all counts against the course, and write down to go on unless a stop is open."""
        stage = self.stage
        answer = follow(stage.replay.path, progress=stage.progress)
        stage.files.answer(f"follow-day-{answer.day_number:02d}.json", follow_json(answer))
        stage.voice.text(document_text(follow_document(answer)))
        if answer.decided.advice is not Advice.MAY_DISCUSS:
            reason = f"reason={answer.decided.reasons[0]}"
            stage.replay.add((ScriptedEntry("decision", ("go-on", reason)),))
            stage.voice.say("Decision, written into the case: go on.")
        return answer


def follow_up(stage: StoryStage) -> str:
    """Go through the visits; return how the case ended."""
    days = script.LAST_CHECK + 1
    tank = draw_tank(stage.replay.path, script.FIRST_WORST, days, script.TANK_SEED)
    visits = Visits(stage, tank)
    zero, again = tank.first_zero, tank.seen_again
    for day in EARLY_VISITS:
        if day < zero:
            visits.look(day)
    visits.look(zero, "They are clean! May I stop?")
    answer = visits.ask()
    day = _next_day(answer)
    if again is not None and again < day:
        visits.look(again, "There are some again. What did I do wrong?")
        day = visits.wait()
    return _to_the_end(visits, day)


def _to_the_end(visits: Visits, day: int) -> str:
    while True:
        if day > script.LAST_CHECK:
            return _unfinished(visits)
        visits.look(day, "Clean. Now?" if visits.tank.zero(day) else "")
        if visits.tank.zero(day):
            visits.slides()
        answer = visits.ask()
        if answer.decided.advice is Advice.MAY_DISCUSS:
            return _close(visits)
        day = _next_day(answer)


def _next_day(answer: FollowAnswer) -> int:
    """Return the day of the next visit: when the wait is over, then every few days."""
    wait = answer.not_before.day
    if wait is not None and wait > answer.day_number:
        return wait
    return answer.day_number + script.LATER_EVERY


def _close(visits: Visits) -> str:
    voice, replay = visits.stage.voice, visits.stage.replay
    voice.say("Keeper and practitioner talk it over and decide to stop.")
    reason = "reason=the wait is over, clean by eye and in the scrapes"
    replay.add(
        (ScriptedEntry("decision", ("stop", reason)), ScriptedEntry("closed", ("clear", reason)))
    )
    voice.say("Carbon back, salt out by part changes. The case is closed: clear.")
    _reveal(visits)
    return "clear"


def _unfinished(visits: Visits) -> str:
    reason = "the counts never allowed a stop to be discussed in the time of this story"
    visits.stage.replay.add((ScriptedEntry("decision", ("go-on", f"reason={reason}")),))
    visits.stage.voice.say(f"The story ends here unfinished: {reason}.")
    _reveal(visits)
    return "open"


def _reveal(visits: Visits) -> None:
    """Tell what nobody at the tank could see."""
    clear = visits.tank.clear_day
    when = f"on day {clear}" if clear >= 0 else "never in that time"
    visits.stage.voice.say(
        "Behind the curtain: the counts came from one simulated tank under the chosen course, "
        f"picked for what it teaches. Its last parasite was gone {when}; the eye saw none from "
        f"day {visits.tank.first_zero} on at first. That the counts fit the model is no proof."
    )
