"""What fits while a sitting is still being answered: few words, renewed at each tap."""

from __future__ import annotations

from dataclasses import dataclass

from tankside.diagnose import first_rows
from tankside.report.differential_words import STEPS_OF_WORDS, cause_name, chance_words, word_step
from tankside.services.sitting import FitsAhead

SHOWN = 4


@dataclass(frozen=True, slots=True)
class CauseAhead:
    """One cause: its name, its word, and how many of the steps of words it reaches."""

    name: str
    words: str
    steps: int


@dataclass(frozen=True, slots=True)
class AheadShown:
    """What stands beside the questions.

    Args:
        rows: the likeliest, in order; none before the own first idea is written down.
        in_mind: names to keep in mind, in no order; none once the order is shown.
        strip: name and step of what must not be missed.
        all_steps: how many steps the words have.
    """

    rows: tuple[CauseAhead, ...]
    in_mind: tuple[str, ...]
    strip: tuple[tuple[str, str], ...]
    all_steps: int = STEPS_OF_WORDS


def ahead_shown(ahead: FitsAhead) -> AheadShown:
    """Return what to show of a ranking that counts an unsaved sitting.

    Before the own idea is written down no order is shown, as on the page of what fits.
    """
    facts = ahead.facts
    strip = tuple((cause_name(facts, alarm.condition), alarm.step) for alarm in ahead.strip)
    if not ahead.own_idea:
        return AheadShown((), tuple(sorted(cause_name(facts, n) for n in ahead.in_mind)), strip)
    likely = first_rows(ahead.ranking)
    rows = tuple(
        CauseAhead(
            cause_name(facts, name),
            chance_words(facts, ahead.ranking.of(name)),
            word_step(ahead.ranking.of(name)),
        )
        for name in likely[:SHOWN]
    )
    return AheadShown(rows, (), strip)
