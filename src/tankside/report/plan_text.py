"""A comparison of courses in words and in the documented JSON shape."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta

from tankside.course import Caution, Level
from tankside.intake.situation import not_simulated
from tankside.lifecycle import OfTwenty, opposite
from tankside.plan import Compared, Score
from tankside.services.plan import NOT_VALIDATED, Planned

MOST_CAUTIONS = 6


def plan_json(planned: Planned) -> dict[str, object]:
    """Return the documented answer of ``plan --json``."""
    found = planned.comparison
    return {
        "courses": [_course_json(planned, number, c) for number, c in enumerate(found.courses, 1)],
        "blocked": [
            {
                "kind": blocked.kind,
                "candidates": blocked.candidates,
                "reasons": [_caution_json(reason) for reason in blocked.reasons],
            }
            for blocked in found.blocked
        ],
        "search": {
            "candidates": found.candidates,
            "simulated": found.simulated,
            "histories": found.histories,
            "seconds": round(planned.seconds, 3),
            "horizon_days": found.horizon_days,
        },
        "organism": planned.organism.id,
        "temperature_c": planned.stage_durations.temperature_c,
        "seed": planned.seed,
        "not_validated": NOT_VALIDATED,
        "questions": dict(planned.case.questions),
        "not_simulated": list(not_simulated(planned.case.facts, planned.organism)),
    }


def _course_json(planned: Planned, number: int, compared: Compared) -> dict[str, object]:
    reached = compared.score
    work = reached.work_min_per_day
    return {
        "number": number,
        "name": compared.candidate.name,
        "kind": compared.candidate.kind,
        "clear_of_20": reached.clear.number,
        "clear_words": reached.clear.words,
        "p_clear": round(reached.clear.share, 4),
        "p_se": round(reached.clear.standard_error, 4),
        "lost_low": reached.lost_low if reached.deaths_known else None,
        "lost_high": reached.lost_high if reached.deaths_known else None,
        "lost_useful": reached.losses_useful,
        "stock": reached.stock,
        "days": reached.days,
        "work_min_per_day": None if work is None else round(work, 1),
        "unbeaten": compared.unbeaten,
        "levers": [part.words for part in compared.candidate.removable],
        "actions": [
            {
                "day": line.hour // 24,
                "hour": line.hour,
                "body": line.body,
                "kind": line.kind,
                "text": line.text,
                "amounts": [compared.run.amounts[index].text for index in line.amounts],
            }
            for line in compared.run.lines
        ],
        "cautions": [_caution_json(c) for c in compared.run.safety if c.level is not Level.BLOCKED],
        "blocked": [_caution_json(c) for c in compared.run.blocked],
        "leaving_out": [
            {"action": left.words, "clear_of_20": left.clear.number, "words": left.clear.words}
            for left in compared.leaving_out
        ],
        "not_before": not_before_day(planned),
    }


def not_before_day(planned: Planned) -> str | None:
    """Return the calendar day before which no stop may be discussed; None when there is none."""
    day = planned.not_before.day
    if day is None:
        return None
    return (planned.case.view.opened.moment.day + timedelta(days=day)).isoformat()


def _caution_json(caution: Caution) -> dict[str, object]:
    return {
        "level": str(caution.level),
        "code": caution.code,
        "words": caution.words,
        "why": caution.why,
        "instead": caution.what_instead,
        "claim": caution.claim_key,
        "agent": caution.agent,
        "group": caution.group,
    }


def plan_text(planned: Planned) -> str:
    """Return the comparison for a person."""
    found, case = planned.comparison, planned.case
    volume = case.main.volume
    lines = [
        f"Plans: {case.view.name}, {case.main.name} {volume.point_l:.0f} L, "
        f"{planned.stage_durations.temperature_c:g} C, {planned.organism.name}",
        f"{found.candidates} courses made from the levers, {found.simulated} simulated, "
        f"{found.candidates - found.simulated} blocked; each shown one followed for "
        f"{found.horizon_days} days. Seed {planned.seed}.",
        "",
        *_table(found.courses),
        "",
        f"NOT VALIDATED: {NOT_VALIDATED} Fish lost: 1 run in 20 lies below, 1 in 20 above.",
        "",
        planned.not_before.words,
    ]
    for number, compared in enumerate(found.courses, 1):
        lines += ["", *_details(number, compared)]
    lines += ["", *_blocked(planned)]
    lines += _unknown(planned)
    lines += [
        "",
        "Choose one: tankside plan CASE --choose K. This is not an order: labels, local law and a "
        "licensed veterinarian come first.",
    ]
    return "\n".join(lines)


def _table(courses: Iterable[Compared]) -> list[str]:
    rows = [("K", "clear", "not clear", "fish lost", "days", "min a day", "course")]
    for number, compared in enumerate(courses, 1):
        reached = compared.score
        work = reached.work_min_per_day
        rows.append(
            (
                str(number),
                reached.clear.words,
                opposite(reached.clear).words,
                lost_words(reached),
                str(reached.days),
                "?" if work is None else f"{work:.0f}",
                compared.candidate.name + ("" if compared.unbeaten else "  (beaten)"),
            )
        )
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]) - 1)]
    return [
        "  ".join([*(cell.ljust(width) for cell, width in zip(row, widths, strict=False)), row[-1]])
        for row in rows
    ]


def lost_words(reached: Score) -> str:
    """Say how many fish are lost, or that it is not known or too wide to say."""
    if not reached.deaths_known:
        return "not known: no figure says what kills"
    if not reached.losses_useful:
        return f"too uncertain ({reached.lost_low} to {reached.lost_high} of {reached.stock})"
    return f"{reached.lost_low} to {reached.lost_high} of {reached.stock}"


def error_words(told: OfTwenty) -> str:
    """Say the standard error of a share in runs of 20."""
    return f"give or take {told.standard_error * 20:.1f} runs of 20 (standard error)"


def _details(number: int, compared: Compared) -> list[str]:
    reached = compared.score
    levers = "; ".join(part.words for part in compared.candidate.removable) or "nothing is done"
    lines = [
        f"{number}. {compared.candidate.name}",
        f"   clear in {reached.clear.words} runs like this tank, not clear in "
        f"{opposite(reached.clear).words}; {error_words(reached.clear)}",
        f"   levers: {levers}",
    ]
    lines += [
        f"   leaving out {left.words}: clear in {left.clear.words}" for left in compared.leaving_out
    ]
    cautions = [c for c in compared.run.safety if c.level is Level.CARE]
    for caution in cautions[:MOST_CAUTIONS]:
        lines.append(f"   CARE: {caution.words} {caution.what_instead}")
    if len(cautions) > MOST_CAUTIONS:
        lines.append(f"   and {len(cautions) - MOST_CAUTIONS} more cautions (--json shows all)")
    notes = dict.fromkeys(c.words for c in compared.run.safety if c.level is Level.NOTE)
    lines += [f"   note: {words}" for words in notes]
    return lines


def _blocked(planned: Planned) -> list[str]:
    if not planned.comparison.blocked:
        return ["BLOCKED: nothing."]
    offered = {compared.candidate.kind for compared in planned.comparison.courses}
    lines = ["BLOCKED (not offered, with the reason):"]
    for blocked in planned.comparison.blocked:
        name = blocked.kind.replace("_", " ")
        some = "some courses" if blocked.kind in offered else "every course"
        lines.append(f"  {name}: {some} ({blocked.candidates})")
        lines += [f"    {reason.words} {reason.why}" for reason in blocked.reasons]
    return lines


def _unknown(planned: Planned) -> list[str]:
    lines = [f"NOT KNOWN: {question}" for question in planned.case.questions.values()]
    left = not_simulated(planned.case.facts, planned.organism)
    if left:
        lines.append(
            "NOT SIMULATED, since no figure says what it does to this parasite: "
            + ", ".join(sorted(left))
            + "."
        )
    return ["", *lines] if lines else []
