"""One amount for equipment in its forms: what is measured, how it is done, what goes with it."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING

from tankside.course.amounts.printing import concentration
from tankside.present.blocks import Document, Words
from tankside.present.handling import handling_of
from tankside.present.law import rule_lines
from tankside.quantity.per import MG_PER_G
from tankside.quantity.show import amount, plain_blanks, rounded
from tankside.report.dose_json import caution_objects
from tankside.report.dose_text import caution_words, closing, source_line
from tankside.services.equipment import EquipmentAnswer

if TYPE_CHECKING:
    from tankside.report.shapes.amounts import EquipmentJson


_SHOWN = 2
EMERGENCY = (
    "Gas, stinging eyes, cough: out into fresh air, away from the bucket, call a poison centre or "
    "doctor, show the label.",
    "It got into water with animals: air on, thiosulphate or a chlorine remover by its label, "
    "change water free of chlorine.",
)


def equipment_document(answer: EquipmentAnswer, why: bool = False) -> Document:
    """Return one amount for equipment as a document; ``why`` folds nothing away."""
    law = {answer.amount.agent: rule_lines(answer.agent, answer.law, answer.country)}
    handling = handling_of([answer.amount], law)
    rest = not why
    return Document(
        f"{answer.agent.short_name} for equipment: {answer.amount.text}",
        (
            Words("", tuple(_first(answer))),
            *caution_words(answer.cautions, why=why),
            Words("", tuple(_steps(answer))),
            Words("The sum in full", (f"Sum: {answer.amount.sum_text}.",), folded=rest),
            *(Words(part.title, part.lines) for part in handling),
            *closing(EMERGENCY, answer.sources, folded=rest),
        ),
        _do(answer),
    )


def equipment_line(answer: EquipmentAnswer) -> str:
    """Say one amount for equipment and what is done with it in one line."""
    return f"{answer.agent.short_name} for equipment: {answer.amount.text}. {_do(answer)}"


def equipment_json(answer: EquipmentAnswer) -> EquipmentJson:
    """Return the documented JSON object of one amount for equipment."""
    made = answer.amount
    return {
        "agent": answer.agent.id,
        "route": "equipment",
        "read_as": list(answer.names_read),
        "amount": {
            "text": plain_blanks(made.text),
            "value": str(made.value),
            "unit": made.unit,
            "for_l": str(made.for_l),
            "strength_mg_l": float(made.strength_mg_l),
            "sum": plain_blanks(made.sum_text),
            "stock_solution": plain_blanks(made.stock_solution),
            "finer_tool": plain_blanks(made.finer),
        },
        "minutes": answer.minutes,
        "thiosulphate_g": _thiosulphate_g(answer),
        "do": plain_blanks(_do(answer)),
        "rules": [plain_blanks(line) for line in _steps(answer)],
        "cautions": caution_objects(answer.cautions),
        "people": dict(made.handling),
        "law": list(rule_lines(answer.agent, answer.law, answer.country)),
        "emergency": list(EMERGENCY),
        "sources": [source_line(source) for source in answer.sources],
    }


def _do(answer: EquipmentAnswer) -> str:
    """Say what is measured into how much cold water, and for how long things stay in it."""
    made = answer.amount
    where = answer.system or "the bucket"
    stock = f" of the stock solution ({made.stock_solution})" if made.stock_solution else ""
    name = answer.agent.short_name.lower()
    return (
        f"Stir {made.text}{stock} of {name}{made.label.holds} into {amount(made.for_l, 'L')} of "
        f"cold water in {where}; leave everything under for {answer.minutes:g} min. "
        f"{answer.practice['no_animals']}"
    )


def _first(answer: EquipmentAnswer) -> Iterator[str]:
    yield from answer.names_read
    printed, time = answer.usual, answer.printed_minutes
    minutes = ""
    if time is not None:
        low, high = time.bounds()
        minutes = f" for {low:g} to {high:g} min"
    strength = concentration(answer.amount.strength_mg_l, answer.agent.basis)
    if answer.amount.finer:
        yield answer.amount.finer
    yield (
        f"{strength}; printed {concentration(printed.number(), '')}{minutes} "
        f"({printed.source}). The label and local rules come first."
    )


def _steps(answer: EquipmentAnswer) -> Iterator[str]:
    """Say how it is done from the brush to the dry shelf."""
    practice = answer.practice
    yield practice["clean_first"]
    yield practice["under_water"]
    yield practice["acid"]
    yield practice["made_fresh"]
    grams = _thiosulphate_g(answer)
    claim = answer.neutraliser
    if grams is not None and claim is not None:
        yield (
            f"Then neutralise: about {amount(Decimal(str(grams)), 'g')} of sodium thiosulphate "
            f"crystals ({claim.bounds()[1]:g} mg for each mg of chlorine, {claim.source}) stirred "
            "into it."
        )
    yield practice["rinse"]
    yield practice["dry"]


def _thiosulphate_g(answer: EquipmentAnswer) -> float | None:
    """Return what neutralises all of it, by the higher of the printed ratios [g]."""
    if answer.neutraliser is None:
        return None
    grams = answer.neutraliser.bounds()[1] * float(answer.amount.active_mg) / MG_PER_G
    return float(rounded(grams, _SHOWN))
