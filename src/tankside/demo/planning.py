"""Courses side by side, one chosen, its card, calendar and pictures."""

from __future__ import annotations

from datetime import time

from tankside.demo import script
from tankside.demo.stage import StoryStage
from tankside.intake.plan_setup import PlanRequest
from tankside.plan import Compared
from tankside.present.figures import course_chart
from tankside.report.day_card import calendar_of, text_of_day
from tankside.report.forecast_drawings import fan_of, stages_of
from tankside.report.forecast_json import forecast_json
from tankside.report.forms import terminal_text
from tankside.report.plan_json import plan_json
from tankside.report.plan_text import plan_document
from tankside.services.comparison import choose_course
from tankside.services.forecast import forecast
from tankside.services.plan import PlanAnswer, plan, unlabelled

REQUEST = PlanRequest(labels=("sodium_chloride=pure",), scale="1 g", warm=False)


def choose_and_show(stage: StoryStage) -> None:
    """Compare, choose, and write what is needed to do it."""
    voice, replay = stage.voice, stage.replay
    voice.scene("18:40. Courses side by side")
    replay.at(0, time(18, 40))
    voice.say(
        "The practitioner rules warming out (the fish are kept at 27 C at most and the gills are "
        "at work already) and has pure salt and a scale that reads grams."
    )
    answer = plan(replay.path, REQUEST, progress=stage.progress)
    stage.files.answer("plan.json", plan_json(answer))
    voice.text(terminal_text(plan_document(answer)))
    number = best(answer)
    name = answer.courses[number - 1].candidate.name
    reason = "most runs clear among those that can be weighed out here and block nothing"
    voice.say(f"The practitioner chooses {number}, {name}: {reason}.")
    choose_course(replay.path, answer.course_ids[number - 1], by=script.BY, reason=reason)
    _papers(stage)
    _pictures(stage)


def best(answer: PlanAnswer) -> int:
    """Return the number of the course the practitioner takes: most runs clear, then least work.

    Only courses that can be weighed out with the one label at hand and that nothing blocks.
    """
    numbered = [(n, c) for n, c in enumerate(answer.courses, 1) if _can_be_done(c)]
    return min(numbered, key=lambda row: _merit(row[1]))[0]


def _can_be_done(compared: Compared) -> bool:
    run = compared.run
    return bool(compared.candidate.parts) and not run.blocked and not unlabelled(run)


def _merit(compared: Compared) -> tuple[float, float, int]:
    reached = compared.score
    return (-reached.clear.number, reached.work_min_per_day or 0.0, reached.days)


def _papers(stage: StoryStage) -> None:
    voice, replay, files = stage.voice, stage.replay, stage.files
    voice.scene("19:00. The day card for the keeper, on paper and to paste")
    first = files.card(replay.path, replay.day(0))
    second = files.card(replay.path, replay.day(1))
    files.data("course.ics", calendar_of(first))
    files.emergency()
    files.figure(course_chart(first.running.run, first.running.clock))
    voice.text(text_of_day(second))
    voice.say("The whole course is a calendar file too; exact hours stay exact on 29 March.")


def _pictures(stage: StoryStage) -> None:
    voice, replay = stage.voice, stage.replay
    voice.scene("What may be seen, with this course and without treatment")
    foretold = forecast(replay.path, progress=stage.progress)
    stage.files.answer("forecast.json", forecast_json(foretold))
    for course in foretold.courses:
        voice.say(fan_of(foretold, course).sentence)
        voice.lines(("",))
    followed = foretold.courses[0]
    stage.files.figure(fan_of(foretold, followed))
    stage.files.figure(stages_of(followed))
