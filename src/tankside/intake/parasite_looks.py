"""Every look at fish that speaks of one parasite: counts of it, slides, what was seen by eye.

A count of something else, a sign, a look in another body of water and a look that could not be
read say nothing of it and are left out.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property

from tankside.case import CaseView, State
from tankside.case.parts import Looked
from tankside.case.seen import CountMade, Finding, WetMount
from tankside.claims import Knowledge
from tankside.claims.counted_words import countables
from tankside.claims.diagnosis import FindingFacts
from tankside.claims.organism import Organism
from tankside.intake.counted import counts_of
from tankside.intake.joined_waters import joined_waters
from tankside.intake.slide_worth import fields_are_usual, whole_and_fresh
from tankside.library.diagnosis_files import load_diagnosis
from tankside.quantity.moment import Moment

BY_EYE = "by_eye"
EYES = (BY_EYE, "photo")
SCRAPES = ("skin_scrape", "fin_clip", "gill_clip", "other")
"""What is taken of a fish whatever it shows; a scrape of a spot is taken where it shows."""


@dataclass(frozen=True, slots=True)
class ParasiteLook:
    """One look at one or several fish, as far as it speaks of the parasite.

    Args:
        at: when.
        entry_id: number of the entry.
        method: how it was looked at: by eye, on a photo, or what was taken.
        carrying: fish that carried any; None where a number or a mean was written down.
        examined: fish looked at; None where nobody said.
        number: parasites or spots counted on one fish.
        mean: parasites or spots on average.
        fish: name of the fish, "" when it has none.
        group: group of stock, "" when nobody said.
        counted: whether fish were counted; a sign by eye, or a scrape of a spot, only dates it.
    """

    at: Moment
    entry_id: int
    method: str
    carrying: int | None = None
    examined: int | None = None
    number: int | None = None
    mean: float | None = None
    fish: str = ""
    group: str = ""
    counted: bool = True

    @property
    def seen(self) -> bool:
        """Whether it showed the parasite."""
        return bool(self.number or self.mean or self.carrying)

    @property
    def amount(self) -> float:
        """What it shows: a number, a mean, or the share of fish that carry any."""
        if self.number is not None:
            return float(self.number)
        if self.mean is not None:
            return self.mean
        return (self.carrying or 0) / (self.examined or 1)

    @property
    def by_eye(self) -> bool:
        """Whether whole fish were looked at, by eye or on a photo; else a slide."""
        return self.method in EYES


@dataclass(frozen=True)
class ParasiteLooks:
    """The looks of a case that speak of one parasite.

    Args:
        view: the case.
        facts: what can be counted.
        organism: the parasite.
        waters: systems that are asked about; None for all of them.
    """

    view: CaseView
    facts: Knowledge
    organism: Organism
    waters: Collection[str] | None = None

    @cached_property
    def looks(self) -> tuple[ParasiteLook, ...]:
        """Every look, in the order they happened; at one moment the one that shows most last."""
        seen = [*self._counts(), *self._slides(), *self._signs()]
        return tuple(sorted(seen, key=_order))

    def upto(self, moment: Moment | None) -> tuple[ParasiteLook, ...]:
        """Return the looks up to a moment; None for all."""
        return tuple(s for s in self.looks if moment is None or s.at.utc <= moment.utc)

    def _counts(self) -> Iterator[ParasiteLook]:
        for count in self.view.counts:
            named = counts_of(self.facts, count.what, self.organism)
            unread = count.state != "answered" or count.examined == 0
            whole = count.method in EYES or fields_are_usual(load_diagnosis(), count.fields)
            if not named or unread or self._elsewhere(count) or not (whole or count.positive):
                continue
            here = (count.moment, count.id, count.method)
            whose = (count.fish or "", count.group or "")
            mean = None if count.mean is None else float(count.mean)
            if whole or count.infected is not None:
                share = (count.infected, count.examined)
                yield ParasiteLook(*here, *share, count.number, mean, *whose)
            else:  # so many at least: not all of the slide was looked at
                yield ParasiteLook(*here, 1, 1, None, None, *whose)

    def _slides(self) -> Iterator[ParasiteLook]:
        """Yield what slides show; an old one, or one hardly looked at, is no look without it."""
        for slide in self.view.wet_mounts:
            for looked in slide.looks:
                asked = self._shown_by.get(looked.finding)
                if asked is None or self._elsewhere(slide):
                    continue
                here = (slide.moment, slide.id, slide.sample)
                whose = (slide.fish or "", slide.group or "")
                seen = carrying(looked, asked)
                whole = whole_and_fresh(load_diagnosis(), asked, slide)
                if seen is None or not (seen[0] or whole):
                    continue
                of_fish = slide.sample in SCRAPES
                if looked.number and looked.infected is None and seen[0] and whole:
                    yield ParasiteLook(*here, None, None, looked.number, None, *whose, of_fish)
                else:
                    yield ParasiteLook(*here, *seen, None, None, *whose, of_fish)

    def _signs(self) -> Iterator[ParasiteLook]:
        """Yield what was seen by eye; that a keeper saw nothing is no count of fish."""
        for sign in self.view.findings:
            asked = self._shown_by.get(sign.looked.finding)
            seen = None if asked is None else carrying(sign.looked, asked)
            if seen is None or not seen[0] or self._elsewhere(sign):
                continue
            whose = (sign.fish or "", sign.group or "")
            yield ParasiteLook(sign.moment, sign.id, BY_EYE, *seen, None, None, *whose, False)

    @cached_property
    def _shown_by(self) -> dict[str, FindingFacts]:
        """The findings whose every answer but the healthy one shows the parasite."""
        findings = load_diagnosis().findings
        return {
            thing.finding: findings[thing.finding]
            for thing in countables(self.facts)
            if self.organism.id in thing.organisms and thing.finding and not thing.answers
        }

    def _elsewhere(self, look: CountMade | WetMount | Finding) -> bool:
        """Whether it is said that the look was at fish in another body of water."""
        if self.waters is None:
            return False
        group = self.view.stock.get(look.group or "")
        if group is not None:
            homes = {group.system, group.system_at(look.moment)} - {""}
            return bool(homes) and not homes & set(self.waters)
        return look.system is not None and look.system not in self.waters


def looks_in(
    view: CaseView, facts: Knowledge, organism: Organism, bodies: Iterable[str]
) -> ParasiteLooks:
    """Return the looks of a case that speak of a parasite in some bodies of water.

    Args:
        view: the case.
        facts: what can be counted.
        organism: the parasite.
        bodies: a part of each body of water that is asked about.
    """
    joined = joined_waters(view)
    parts = frozenset(part for body in bodies for part in joined.now(body))
    return ParasiteLooks(view, facts, organism, parts)


def carrying(looked: Looked, asked: FindingFacts) -> tuple[int, int] | None:
    """Return how many fish carried any of how many; None when it was not looked at or read.

    Args:
        looked: what was looked at.
        asked: the finding.
    """
    if looked.infected is not None and looked.examined:
        return looked.infected, looked.examined
    if State(looked.state) is State.NONE:
        return 0, 1
    answers = set(looked.answers) & set(asked.answers)
    if not answers:
        return None
    return (0 if asked.baseline_answer in answers else 1), 1


def _order(look: ParasiteLook) -> tuple[object, ...]:
    most = (look.carrying or 0, look.number or 0, look.mean or 0.0)
    return (look.at.utc, most, look.examined or 0, look.method, look.group, look.fish)
