"""One amount in each of its forms, by its route."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tankside.present.blocks import Document
from tankside.report import dose_json, dose_text, equipment_forms, feed_forms
from tankside.services.amounts import AmountAnswer
from tankside.services.equipment import EquipmentAnswer
from tankside.services.feed import FeedAnswer

if TYPE_CHECKING:
    from tankside.report.shapes.amounts import DoseJson, EquipmentJson, FeedJson


def amount_document(answer: AmountAnswer, why: bool = False) -> Document:
    """Return one amount as a document; ``why`` folds nothing away."""
    if isinstance(answer, FeedAnswer):
        return feed_forms.feed_document(answer, why)
    if isinstance(answer, EquipmentAnswer):
        return equipment_forms.equipment_document(answer, why)
    return dose_text.dose_document(answer, why)


def amount_json(answer: AmountAnswer) -> DoseJson | FeedJson | EquipmentJson:
    """Return the documented JSON object of one amount."""
    if isinstance(answer, FeedAnswer):
        return feed_forms.feed_json(answer)
    if isinstance(answer, EquipmentAnswer):
        return equipment_forms.equipment_json(answer)
    return dose_json.dose_json(answer)


def amount_line(answer: AmountAnswer) -> str:
    """Say one amount and what is done with it in one line."""
    if isinstance(answer, FeedAnswer):
        return feed_forms.feed_line(answer)
    if isinstance(answer, EquipmentAnswer):
        return equipment_forms.equipment_line(answer)
    return dose_text.amount_line(answer)
