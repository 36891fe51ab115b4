"""A comparison of courses as one document: side by side, in runs of 20, each with its levers."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tankside.course import Level
from tankside.intake.fishless import FishlessTime
from tankside.intake.situation import not_simulated
from tankside.lifecycle import OfTwenty, opposite
from tankside.plan import Blocked, Compared, Score
from tankside.plan.turning import BestOfSide, Turning
from tankside.present.blocks import Block, Document, Rows, Runs, Words
from tankside.present.table import Table
from tankside.report.care_document import head_blocks
from tankside.report.case_text import line_text
from tankside.report.case_words import saved_json, saved_words
from tankside.report.claim_words import claim_words
from tankside.report.plan_cards import BEATEN
from tankside.report.played_with import played_with
from tankside.report.validation_words import NOT_VALIDATED
from tankside.services.plan import PlanAnswer
from tankside.services.saving import Added

HEAD = ("K", "clear", "not clear", "fish lost", "days", "min a day", "course")
RUNS = "Of 20 simulated runs like this tank; give or take is one standard error."
LOST = "Fish lost: the middle run, then the ends below and above which 1 run in 20 lies."
HOW = (
    "Have the label and the scale at hand. A course is chosen by its name (tankside plan CASE "
    "--choose NAME) as long as the case is as it was compared. This is not an order: labels, "
    "local law and a licensed veterinarian come first."
)
LEFT_OUT = "Levers left out in this water"
TURNS = "Papers contradict each other, and the best course depends on who is right"
NOT_SIMULATED = "Not simulated, since no figure says what it does to this parasite"


def plan_document(answer: PlanAnswer) -> Document:
    """Return the comparison: the courses beside each other, then each, then what is not offered."""
    comparison, case = answer.comparison, answer.case
    courses = tuple(enumerate(comparison.courses, 1))
    blocks: tuple[Block, ...] = (
        *(() if answer.care is None else head_blocks(answer.care)),
        Rows("Side by side", Table("compared courses", HEAD, tuple(_row(*c) for c in courses))),
        Runs("Clear in the end", tuple(_marks(*c) for c in courses), RUNS),
        Words(NOT_VALIDATED, (LOST,), "NOT VALIDATED"),
        Words("", (answer.not_before.words,)),
        *_turning(answer),
        *played_with(case, answer.organism),
        *(_levers(answer, *course) for course in courses),
        *_cautions(answer, Level.CARE, "What speaks for care, and in which courses", "CARE"),
        *_cautions(answer, Level.NOTE, "What else to know", "NOTE"),
        _blocked(answer),
        *_left_out(answer),
        *_unknown(answer),
        Words("Choose one", (HOW, *_names(answer))),
    )
    return Document(f"Plans: {case.view.name}", blocks, _lead(answer))


def chosen_document(added: Added) -> Document:
    """Say which course was written into the case."""
    lines = (f"Saved in {saved_words(added.stored)}", *(line_text(entry) for entry in added.new))
    return Document(f"Course chosen: {added.stored.view().name}", (Words("", lines),))


def chosen_json(name: str, added: Added) -> dict[str, object]:
    """Return the documented answer of ``plan --choose --json``."""
    (entry,) = added.new
    return {**saved_json(added.stored), "chosen": {"course": name, "entry": entry.id}}


def _names(answer: PlanAnswer) -> Iterator[str]:
    """Say by which name each course is chosen."""
    if answer.not_kept:
        yield f"The comparison could not be kept, so that none can be chosen: {answer.not_kept}"
        return
    for number, name in enumerate(answer.course_ids, 1):
        yield f"{number}. {name}"


def lost_words(reached: Score) -> str:
    """Say how many fish are lost, or that it is not known or too wide to say."""
    if not reached.deaths_known:
        return "unknown: no dose in print for these fish"
    if not reached.losses_useful:
        return f"too uncertain ({reached.lost_low} to {reached.lost_high} of {reached.stock})"
    range_words = f"{reached.lost_low} to {reached.lost_high}"
    return f"{reached.lost_middle} of {reached.stock} ({range_words})"


def _lead(answer: PlanAnswer) -> str:
    comparison, main = answer.comparison, answer.case.main
    first = " ".join((*answer.organism.first_words, ""))
    return (
        f"{first}Water: {main.name} {main.volume.point_l:.0f} L, "
        f"{answer.stage_durations.temperature_c:g} C. Parasite: {answer.organism.name}. "
        f"{comparison.candidates} courses made from the levers, "
        f"{comparison.simulated} simulated, {comparison.candidates - comparison.simulated} "
        f"blocked; each shown one followed for {comparison.horizon_days} days. Seed {answer.seed}. "
        f"Comparison {answer.kept.id} of the case at entry {answer.kept.version}."
    )


def _row(number: int, compared: Compared) -> tuple[str, ...]:
    reached = compared.score
    work = reached.work_min_per_day
    return (
        str(number),
        reached.clear.words,
        opposite(reached.clear).words,
        lost_words(reached),
        str(reached.days),
        "?" if work is None else f"{work:.0f}",
        compared.candidate.name + ("" if compared.unbeaten else f"  {BEATEN}"),
    )


def _marks(number: int, compared: Compared) -> tuple[str, int, str]:
    clear = compared.score.clear
    words = f"clear in {clear.words}, not clear in {opposite(clear).words}; {_error(clear)}"
    return (f"{number}. {compared.candidate.name}", clear.number, words)


def _error(share: OfTwenty) -> str:
    """Say the standard error of a share in runs of 20."""
    return f"give or take {share.standard_error * 20:.1f} runs of 20"


def _levers(answer: PlanAnswer, number: int, compared: Compared) -> Words:
    levers = "; ".join(part.words for part in compared.candidate.removable) or "nothing is done"
    left_out = (f"leaving out {x.words}: clear in {x.clear.words}" for x in compared.leaving_out)
    empty = fishless_of(answer, compared)
    stands = () if empty is None else (f"the tank that they leave: {empty.words}",)
    return Words(f"{number}. {compared.candidate.name}", (f"levers: {levers}", *left_out, *stands))


def fishless_of(answer: PlanAnswer, compared: Compared) -> FishlessTime | None:
    """Return how long the tank stands without fish in a course; None where fish stay in it."""
    return answer.fishless if compared.candidate.moves_fish_out else None


def _turning(answer: PlanAnswer) -> Iterator[Words]:
    """Say on what print disagrees so that the best course depends on who is right."""
    lines = tuple(
        f"{_key_words(answer, turned)}: " + "; ".join(_side(answer, side) for side in turned.sides)
        for turned in answer.comparison.turnings
    )
    if lines:
        yield Words(TURNS, lines, "RIVALS")


def _key_words(answer: PlanAnswer, turned: Turning) -> str:
    if turned.key == "reading":
        return "how the numbers per fish of two theses are read"
    return claim_words(turned.key, answer.organism)


def _side(answer: PlanAnswer, side: BestOfSide) -> str:
    best = answer.courses[side.best].candidate.name
    if side.claim is None:
        return f"{side.name.replace('_', ' ')}: best is {best}"
    low, high = side.claim.bounds()
    where = side.claim.source or str(side.claim.provenance)
    return f"{low:g} to {high:g} {side.claim.unit} ({where}): best is {best}"


def _cautions(answer: PlanAnswer, level: Level, title: str, strong: str) -> Iterator[Words]:
    """Return each caution of a level once, with the numbers of the courses it belongs to."""
    numbers: dict[str, list[int]] = {}
    for number, compared in enumerate(answer.courses, 1):
        for caution in compared.run.safety:
            if caution.level is level:
                said = numbers.setdefault(f"{caution.words} {caution.what_instead}", [])
                if number not in said:
                    said.append(number)
    if numbers:
        lines = (f"{words} ({_courses(said)})" for words, said in numbers.items())
        yield Words(title, tuple(lines), strong)


def _courses(numbers: Iterable[int]) -> str:
    listed = [str(number) for number in numbers]
    return f"course {listed[0]}" if len(listed) == 1 else f"courses {', '.join(listed)}"


def _blocked(answer: PlanAnswer) -> Words:
    if not answer.comparison.blocked:
        return Words("", ("BLOCKED: nothing.",))
    offered = {compared.candidate.kind for compared in answer.courses}
    lines = (line for b in answer.comparison.blocked for line in _refused(b, b.kind in offered))
    return Words("Not offered, with the reason", tuple(lines), "BLOCKED")


def _refused(blocked: Blocked, some_offered: bool) -> Iterator[str]:
    which = "some courses" if some_offered else "every course"
    name = blocked.kind.replace("_", " ")
    for reason in blocked.reasons:
        yield f"{name}: {which} ({blocked.candidates}). {reason.words} {reason.why}"


def _left_out(answer: PlanAnswer) -> Iterator[Words]:
    if answer.left_out:
        lines = tuple(f"{lever.name}: {lever.why}." for lever in answer.left_out)
        yield Words(LEFT_OUT, lines)


def _unknown(answer: PlanAnswer) -> Iterator[Words]:
    if answer.case.questions:
        yield Words("Not known", tuple(answer.case.questions.values()), "GAP")
    left = not_simulated(answer.case.facts, answer.organism)
    if left:
        yield Words(NOT_SIMULATED, (", ".join(sorted(left)),), "GAP")
