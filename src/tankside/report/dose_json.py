"""One amount as the documented machine-readable object."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from tankside.course import Caution
from tankside.present.law import rule_lines
from tankside.quantity.show import plain_blanks
from tankside.report import dose_text
from tankside.services.dose import DoseAnswer

if TYPE_CHECKING:
    from tankside.report.shapes.amounts import DoseJson
    from tankside.report.shapes.shared import CautionJson


def dose_json(answer: DoseAnswer) -> DoseJson:
    """Return the documented JSON object of one amount."""
    amount = answer.amount
    return {
        "agent": answer.agent.id,
        "brings": plain_blanks(answer.brings),
        "reaches_mg_l": answer.reaches_mg_l,
        "read_as": list(answer.names_read),
        "amount": {
            "text": plain_blanks(amount.text),
            "value": str(amount.value),
            "unit": amount.unit,
            "for_l": str(amount.for_l),
            "strength_mg_l": float(amount.strength_mg_l),
            "strength_smaller_volume_mg_l": float(amount.strength_smaller_mg_l),
            "basis": answer.agent.basis,
            "sum": plain_blanks(amount.sum_text),
            "stock_solution": plain_blanks(amount.stock_solution),
            "finer_tool": plain_blanks(amount.finer),
            "reason": amount.reason,
            "read_back": amount.read_back,
        },
        "do": plain_blanks(answer.line),
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


def caution_objects(cautions: Sequence[Caution]) -> list[CautionJson]:
    """Return the documented objects of what stands beside an amount."""
    return [
        {
            "level": caution.level.value,
            "code": caution.code,
            "words": caution.words,
            "why": plain_blanks(caution.why),
            "claim": caution.claim_key,
            "instead": caution.what_instead,
        }
        for caution in cautions
    ]
