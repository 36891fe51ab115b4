"""One amount as the documented machine-readable object."""

from __future__ import annotations

from collections.abc import Sequence

from tankside.course import Caution
from tankside.present.law import rule_lines
from tankside.report import dose_text
from tankside.services.dose import DoseAnswer


def dose_json(answer: DoseAnswer) -> dict[str, object]:
    """Return the documented JSON object of one amount."""
    amount = answer.amount
    return {
        "agent": answer.agent.id,
        "brings": answer.brings.replace("\xa0", " "),
        "reaches_mg_l": answer.reaches_mg_l,
        "read_as": list(answer.names_read),
        "amount": {
            "text": amount.text.replace("\xa0", " "),
            "value": str(amount.value),
            "unit": amount.unit,
            "for_l": str(amount.for_l),
            "strength_mg_l": float(amount.strength_mg_l),
            "strength_smaller_volume_mg_l": float(amount.strength_smaller_mg_l),
            "basis": answer.agent.basis,
            "sum": amount.sum_text.replace("\xa0", " "),
            "stock_solution": amount.stock_solution.replace("\xa0", " "),
            "finer_tool": amount.finer.replace("\xa0", " "),
            "reason": amount.reason,
            "read_back": amount.read_back,
        },
        "do": answer.line.replace("\xa0", " "),
        "limits_mg_l": {
            "usual_low": answer.usual_low_mg_l,
            "usual_high": answer.usual_high_mg_l,
            "hard": answer.hard_mg_l,
        },
        "cautions": caution_objects(answer.cautions),
        "people": dict(answer.people),
        "law": list(rule_lines(answer.agent, answer.law, answer.country)),
        "emergency": list(dose_text.EMERGENCY),
        "sources": [dose_text.source_line(source) for source in answer.sources],
    }


def caution_objects(cautions: Sequence[Caution]) -> list[dict[str, str]]:
    """Return the documented objects of what stands beside an amount."""
    return [
        {
            "level": caution.level.value,
            "code": caution.code,
            "words": caution.words,
            "why": caution.why.replace("\xa0", " "),
            "claim": caution.claim_key,
            "instead": caution.what_instead,
        }
        for caution in cautions
    ]
