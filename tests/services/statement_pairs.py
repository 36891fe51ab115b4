"""Pairs of statements that must never stand together on a follow-up, its card and its case page.

Written down before any of them was looked for. ``NAMED`` are the pairs that were seen in print;
``MORE`` are ten others. Each side is read off the words a person reads, or off what was typed.
"""

from __future__ import annotations

import re
from calendar import month_abbr
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True)
class Pages:
    """What a person reads of one case on one day, and what was typed into it.

    Args:
        follow: the follow-up as text.
        advice: the words behind ADVICE on it.
        card: the card of the day as text; "" where none is asked for.
        wait: the date to wait for as the page without a follow-up says it.
        plan_date: the date to wait for as a plan or a forecast of the same case would print it.
        show: the case page as text.
        idea: what came back when an own idea was typed on the day of the case.
        today: day asked on.
        opened: first day of the case.
        named_dates: every date that the wait is made of.
        seen_latest: whether the latest look showed anything; None when nobody looked.
        looked_on: day of the latest look.
        worst: name of the group with the largest count; "" when no two groups were counted alike.
        by_eye: whether the parasite can be counted by eye.
        confirmed: whether anybody confirmed a diagnosis.
        dead: how many died, in all.
        dead_lately: how many died on this day and the two before it.
        stopped: whether the course was stopped.
        count_days: calendar days on which something was counted.
        fish: how many fish there were at the start.
    """

    follow: str
    advice: str
    card: str
    wait: str
    plan_date: date | None
    show: str
    idea: str
    today: date
    opened: date
    named_dates: tuple[date, ...]
    seen_latest: bool | None
    looked_on: date | None
    worst: str
    by_eye: bool
    confirmed: bool
    dead: int
    dead_lately: int
    stopped: bool
    count_days: frozenset[date]
    fish: int


Says = Callable[[Pages], bool]
Pair = tuple[str, Says, Says]

MONTHS = {name: number for number, name in enumerate(month_abbr) if name}
_DATE = r"\w{3} (\d{1,2}) (\w{3}) (\d{4})"


def not_before(text: str) -> date | None:
    return _dated(re.search(rf"NOT BEFORE {_DATE}", text))


def next_look(pages: Pages) -> date | None:
    return _dated(re.search(rf"Next look: {_DATE}", pages.follow))


def _dated(matched: re.Match[str] | None) -> date | None:
    if matched is None:
        return None
    day, month, year = matched.groups()
    return date(int(year), MONTHS[month], int(day))


def may_discuss(pages: Pages) -> bool:
    return "a stop may be discussed" in pages.advice


def of_twenty(text: str) -> float:
    """Return runs of 20 from "more than 19 of 20", "14 of 20", "fewer than 1 of 20"."""
    number = int(re.findall(r"(\d+) of 20", text)[0])
    return number + 0.5 if "more than" in text else number - 0.5 if "fewer than" in text else number


def chance(pages: Pages, words: str) -> float | None:
    matched = re.search(rf"{words}\D*?comes back in ([^,;]*? of 20)", pages.follow)
    return None if matched is None else of_twenty(matched.group(1))


def clear_now(pages: Pages) -> float | None:
    matched = re.search(
        r"(?s)Clear now.*?((?:more than |fewer than |about )?\d+ of 20) such tanks", pages.follow
    )
    return None if matched is None else of_twenty(matched.group(1))


def returns_often(pages: Pages) -> bool:
    returns = chance(pages, "Stop today")
    return returns is not None and returns > 10


def fits(pages: Pages) -> bool:
    return "The counts fit the course." in pages.follow


def hardly_believed(pages: Pages) -> bool:
    return any(
        int(part) < 50 for part in re.findall(r"taken at (\d+)\s?% of their word", pages.follow)
    )


def has_date(pages: Pages) -> bool:
    return not_before(pages.follow) is not None


def other_date(pages: Pages) -> bool:
    printed = not_before(pages.follow)
    largest = max(pages.named_dates, default=None)
    return not (printed == not_before(pages.wait) == pages.plan_date == largest)


def card_counts(pages: Pages) -> str:
    matched = re.search(r"Count [^\n]*?\(([^()]*)\)\.", pages.card)
    return "" if matched is None else matched.group(1)


def wrong_day_number(pages: Pages) -> bool:
    """Whether a count is given a day number on which nothing was counted."""
    numbers = re.findall(r"\n\s*day (\d+), (?:spots|on a slide)", pages.follow)
    days = {(day - pages.opened).days for day in pages.count_days}
    return any(int(number) not in days for number in numbers)


NAMED: tuple[Pair, ...] = (
    ("a stop may be discussed / it comes back more often than not", may_discuss, returns_often),
    ("the counts fit / taken at less than half their word", fits, hardly_believed),
    ("not before a date / another page or named date says later", has_date, other_date),
    ("count the worst of a group / another group was seen worst",
     lambda p: bool(p.worst) and bool(card_counts(p)), lambda p: card_counts(p) != p.worst),
    ("a confirmed diagnosis / it is only suspected",
     lambda p: re.search(r"(?i)diagnosis confirmed|confirmed diagnosis", p.show) is not None,
     lambda p: not p.confirmed),
    ("this is day N / a count of that number is of another day", lambda _: True, wrong_day_number),
    ("an own idea of today / it lies in the future",
     lambda p: bool(p.idea), lambda p: "future" in p.idea),
)  # fmt: skip

MORE: tuple[Pair, ...] = (
    ("no count yet / somebody looked",
     lambda p: "No count yet" in p.follow, lambda p: p.looked_on is not None),
    ("parasites at the latest look / clear now in nearly every tank",
     lambda p: p.seen_latest is True, lambda p: (clear_now(p) or 0) > 19),
    ("a stop may be discussed / the date to wait for lies ahead", may_discuss,
     lambda p: (not_before(p.follow) or p.today) > p.today),
    ("a stop may be discussed / animals died in these three days", may_discuss,
     lambda p: p.dead_lately > 0),
    ("no spots today / nobody looked today",
     lambda p: "No spots today" in p.follow, lambda p: p.looked_on != p.today),
    ("spots are asked for / this parasite shows no spots",
     lambda p: re.search(r"(?i)count spots|\bspots today|spot can be seen", p.card + p.follow)
     is not None, lambda p: not p.by_eye),
    ("the counts fit / hardly any run explains them", fits,
     lambda p: "Hardly any run" in p.follow),
    ("go on to the end of the course / the course was stopped",
     lambda p: "Go on to the end of the course" in p.follow, lambda p: p.stopped),
    ("deaths: none / animals died",
     lambda p: re.search(r"(?i)deaths?: none|0 dead in all", p.show) is not None,
     lambda p: p.dead > 0),
    ("the next look / it is not after today",
     lambda p: next_look(p) is not None, lambda p: (next_look(p) or p.today) <= p.today),
)  # fmt: skip


def contradictions(pages: Pages) -> tuple[str, ...]:
    """Return the names of the pairs that stand together."""
    return tuple(name for name, left, right in (*NAMED, *MORE) if left(pages) and right(pages))
