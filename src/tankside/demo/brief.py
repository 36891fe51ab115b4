"""The story in two screens: what was seen, chosen, weighed out and decided, as the files say it."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from tankside.case import CaseView
from tankside.demo import script
from tankside.demo.tell import Teller
from tankside.records.case_store import read_case

FIRST, COURSES = 3, 4
FIRST_CARD = "day-card-2026-03-19"
Answer = Mapping[str, Any]


def tell_brief(voice: Teller, folder: Path) -> None:
    """Write the story in short from the files that its telling left.

    Args:
        voice: writes it.
        folder: where the files are.
    """
    view = read_case(folder / script.FILE).view()
    for title, text in _scenes(view, folder):
        voice.say(f"{title}: {text}")


def _scenes(view: CaseView, folder: Path) -> Iterator[tuple[str, str]]:
    yield "The call", f'"{script.CALL}" Said at once: air on, no food, nothing into the water.'
    yield "The tank", _tank(view)
    by_eye, scraped = _read(folder, "differential-by-eye"), _read(folder, "differential")
    yield "By eye", f"own idea first, white spot; then the list: {_ranked(by_eye)}."
    yield "In the scrape", f"{_ranked(scraped)}."
    plan = _read(folder, "plan")
    yield f"{plan['search']['candidates']} courses tried", _compared(plan)
    yield "Chosen", _chosen(view)
    yield "Day 1 on the card", _amounts(_read(folder, FIRST_CARD))
    for path in sorted(folder.glob("follow-day-*.json")):
        yield _visit(view, json.loads(path.read_text(encoding="utf-8")))
    yield "End", "closed, clear." if view.closed is not None else "not reached in this story."


def _read(folder: Path, name: str) -> Answer:
    answer: Answer = json.loads((folder / f"{name}.json").read_text(encoding="utf-8"))
    return answer


def _tank(view: CaseView) -> str:
    main = view.main
    assert main is not None
    assert main.volume.point_l is not None
    label = "" if main.volume.told_l is None else f"; the label says {main.volume.told_l} L"
    living = ", ".join(f"{g.description.count} {g.description.name}"
                       for g in view.stock.values())  # fmt: skip
    litres = f"{main.volume.point_l:.1f} L by tape and by hose"
    return f"{litres}{label}, never used for a dose. {living}."


def _ranked(answer: Answer) -> str:
    rows = [f"{cause['name'].partition(' (')[0]} {cause['words']}" for cause in answer["ranked"]]
    return ", ".join(rows[:FIRST])


def _compared(plan: Answer) -> str:
    """Say in how many of 20 such tanks the first courses are clear, the best first."""
    courses = sorted(plan["courses"], key=lambda course: -course["clear_of_20"])
    shown = [f"{c['name'].partition(',')[0]} {c['clear_words']}" for c in courses[:COURSES]]
    untreated = next(c for c in plan["courses"] if c["kind"] == "no treatment")
    return f"clear in {', '.join(shown)} runs; untreated {untreated['clear_words']}."


def _chosen(view: CaseView) -> str:
    assert view.course is not None
    reason = view.course.reason or ""
    return f"{view.course.name}: {reason}." if reason else f"{view.course.name}."


def _amounts(card: Answer) -> str:
    amounts = [amount["text"] for line in card["lines"] for amount in line["amounts"]]
    never = "; do not ".join(card["do_not"][:2])
    return f"{', '.join(amounts) or 'nothing to weigh'}. Do not {never}."


def _visit(view: CaseView, answer: Answer) -> tuple[str, str]:
    day = answer["day"]
    seen = sum(float(c.number if c.number is not None else c.mean or 0)
               for c in view.counts if view.day(c.moment) == day)  # fmt: skip
    zero = "no spot is seen; " if seen == 0 else ""
    stop, reason = answer["not_before_day"], answer["reasons"][0]
    waits = f", not before day {stop}" if stop is not None and stop > day else f". {reason}"
    return f"Day {day}", f"{zero}{answer['advice']}{waits}".rstrip(".") + "."
