"""Sheets for keepers: one page a cause in plain words, and the mistakes that do most harm."""

from __future__ import annotations

from collections.abc import Iterable

from tankside.claims import Claim
from tankside.claims.care import MARKS, CareSection, CareStatement
from tankside.claims.diagnosis import Condition
from tankside.present.plates import plates
from tankside.present.sheet import Picture, Sheet, SheetPart
from tankside.report.teaching.life_cycle import capital
from tankside.services.teaching import (
    HarmfulMistake,
    KeepersCare,
    commonest_causes,
    harmful_mistakes,
    works,
)

TITLES = {
    CareSection.NOW: "Now, in this minute",
    CareSection.FIRST_HOUR: "In the first hour",
    CareSection.TODAY: "Today",
    CareSection.THIS_WEEK: "This week",
    CareSection.MUST_NOT: "What does harm",
    CareSection.IF_IT_WORKS: "If it works",
    CareSection.IF_NOT: "If it does not",
    CareSection.STOP_RULE: "When it may be over",
    CareSection.PREVENTION: "So that it does not come again",
    CareSection.PEOPLE: "For people",
    CareSection.REPORT: "Whom the law may want told",
}
PLAIN_NAMES = {
    "NITROGEN": "Ammonia or nitrite in the water",
    "ICH": "White spot",
    "SEPTIC": "Ulcers and blood poisoning by bacteria",
    "GILLFLUKE": "Gill flukes",
    "COLUMN": "Columnaris, pale patches by bacteria",
    "SKINFLUKE": "Skin flukes",
    "TRAUMA": "Wounds",
    "MYCOBACT": "Fish tuberculosis",
    "BUOY": "A fish that floats or sinks",
    "TRICHO": "Trichodinids, slime ciliates",
}
NO_AMOUNT = (
    "No amount of any medicine stands here: it hangs on your water and your fish. Ask an adviser "
    "or a veterinarian, and read the label."
)


def plain_name(condition: Condition) -> str:
    """Return the name of a cause as a keeper says it."""
    return PLAIN_NAMES.get(condition.id, condition.name)


def keepers_sheet(care: KeepersCare) -> Sheet:
    """Return the page of one cause for the person who keeps the fish."""
    name = plain_name(care.condition)
    first = care.sections[CareSection.NOW][0]
    parts = [_looks(care.condition)]
    parts += [
        SheetPart(
            TITLES[section],
            tuple(said.spoken for said in statements),
            strong="DO NOT" if section is CareSection.MUST_NOT else "",
            basis=statement_sources(statements),
        )
        for section, statements in care.sections.items()
    ]
    parts.append(SheetPart("Medicine", (NO_AMOUNT, _left_out(care))))
    return Sheet(
        key=f"keepers/{care.condition.id.lower()}",
        question=f"{name}: what do I do?",
        title=first.words,
        lead="For the person who keeps the fish. Show it to whoever helps you.",
        parts=tuple(part for part in parts if part.lines or part.pictures),
    )


def _left_out(care: KeepersCare) -> str:
    return (
        f"{care.decided_by_others} more steps are decided by an adviser or a veterinarian, who has "
        "them in the protocol of this cause."
    )


def _looks(condition: Condition) -> SheetPart:
    drawn = next((p for p in plates().values() if condition.id in p.of and p.group == "sign"), None)
    if drawn is None:
        return SheetPart("")
    picture = Picture(
        title=drawn.title,
        alternative=drawn.title,
        lines=(
            *(f"{letter}: {words}" for letter, words in drawn.parts.items()),
            f"Bars: {'; '.join(drawn.bars)}.",
        ),
        plate=drawn.id,
        sign=drawn.separates,
    )  # fmt: skip
    return SheetPart("What it can look like", pictures=(picture,))


def statement_sources(statements: Iterable[CareStatement]) -> tuple[str, ...]:
    """Return the works behind statements, each once."""
    return claim_sources(statement.claim for statement in statements)


def claim_sources(claims: Iterable[Claim]) -> tuple[str, ...]:
    """Return the works behind claims, each once, and how many rest on none."""
    listed = tuple(claims)
    keys = tuple(key for claim in listed for key in (claim.source, *claim.further) if key)
    without = sum(not claim.source for claim in listed)
    marked = (f"{without} without a source, marked where they stand",) if without else ()
    return (*(work.citation for work in works(keys)), *marked)


def mistakes_sheet() -> Sheet:
    """Return the five mistakes that recur and do harm, with why."""
    return Sheet(
        key="mistakes",
        question="What does most harm?",
        title="Five mistakes that recur, and why each one kills.",
        lead=(
            "Nobody has counted how often each happens; the choice and the order are a judgement. "
            "The reasons are cited."
        ),
        parts=tuple(_mistake(number, m) for number, m in enumerate(harmful_mistakes(), 1)),
    )


def _mistake(number: int, mistake: HarmfulMistake) -> SheetPart:
    return SheetPart(
        f"{number}. {mistake.claim.value}",
        tuple(_with_mark(claim) for claim in mistake.because),
        basis=claim_sources(mistake.because),
    )


def _with_mark(claim: Claim) -> str:
    mark = "" if claim.source else MARKS[claim.provenance]
    return f"{claim.value} ({mark})" if mark else str(claim.value)


def commonest_names() -> tuple[tuple[str, str], ...]:
    """Return id and plain name of each of the commonest causes."""
    return tuple((cause.id.lower(), capital(plain_name(cause))) for cause in commonest_causes())
