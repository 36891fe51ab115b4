"""What a case did not say and what bears on its answers: kinds, changes, country, warmth, tap."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import timedelta

from tankside.case import CaseView, Reading, SystemView
from tankside.claims import Knowledge
from tankside.intake.event_words import event_questions
from tankside.intake.species import find_host, stand_ins
from tankside.intake.spread import spread_warnings

SEASONAL = frozenset(("koi", "goldfish", "pond cyprinid", "sturgeon"))
"""Groups of hosts that are kept outdoors, where the season makes the water."""


def to_be_asked(view: CaseView, facts: Knowledge) -> dict[str, str]:
    """Return what is to be asked, or said, of a case wherever it decides, by open key.

    Args:
        view: the case.
        facts: kinds on file.
    """
    return {
        **{f"kind.{n}": words for n, words in enumerate(stand_ins(view, facts), 1)},
        **{f"event.{n}": words for n, words in enumerate(event_questions(view), 1)},
        **dict(_country(view)),
        **dict(_of_main(view, facts)),
        **spread_warnings(view),
    }


def _country(view: CaseView) -> Iterator[tuple[str, str]]:
    """Ask for the country once something is treated: the law on medicines goes by it."""
    opened = view.opened
    treats = bool(view.diagnoses or view.courses or view.doses)
    if treats and opened.country is None and "country" not in opened.not_known:
        yield (
            "country",
            "In which country does it stand? Without it no rule of law is looked up "
            '(tankside case add CASE --correct 1 --reason "told later" opened country=GB).',
        )


def _of_main(view: CaseView, facts: Knowledge) -> Iterator[tuple[str, str]]:
    main = view.main
    if main is None:
        return
    yield from _warmth(view, main, facts)
    yield from _tap_chloride(view, main)


def _warmth(view: CaseView, main: SystemView, facts: Knowledge) -> Iterator[tuple[str, str]]:
    """Ask for season and the warmth of the last weeks where one reading is all there is."""
    described, series = main.description, main.series.get(Reading.TEMPERATURE, ())
    stated = {"temperature_low", "temperature_high"} & set(described.not_known)
    spans = described.temperature_low is not None and described.temperature_high is not None
    weeks = series and series[-1].at.utc - series[0].at.utc >= timedelta(weeks=2)
    if not series or spans or stated or weeks:
        return
    kinds = (g for g in view.stock.values() if g.living == "fish" and g.alive != 0)
    hosts = (find_host(facts.hosts, g.description.host, g.description.name) for g in kinds)
    outdoor = any(host is not None and host.group in SEASONAL for host in hosts)
    season = "Which season is it at the water, and how" if outdoor else "How"
    yield (
        f"system.{main.id}.warmth",
        f"{season} cold and how warm was {main.name} in the last weeks (lowest= and highest=)? One "
        "reading says nothing of a cold night or of heat that was tried before.",
    )


def _tap_chloride(view: CaseView, main: SystemView) -> Iterator[tuple[str, str]]:
    """Ask for the chloride of the tap where nitrite was read in fresh water."""
    nitrite = main.readings.get(Reading.NITRITE)
    raised = nitrite is not None and (nitrite.number("mg/L as N") or 0.0) > 0
    tested = any(
        line.what is Reading.CHLORIDE and (line.amount is not None or line.state != "answered")
        for test in view.water_tests
        if test.sample == "tap"
        for line in test.readings
    )
    if raised and not tested and view.opened.water != "marine":
        yield (
            f"system.{main.id}.tap_chloride",
            "How much chloride is in the tap water (water sample=tap chloride=)? There is nitrite, "
            "and chloride is what protects from it; a change of water may take it out.",
        )
