"""One dose in food in its forms: what is weighed, how it is bound and fed, what goes with it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from tankside.course.amounts.feed_amount import feed_words
from tankside.present.blocks import Document, Words
from tankside.present.handling import handling_of
from tankside.present.law import rule_lines
from tankside.quantity.show import amount, plain_blanks, rounded
from tankside.report.dose_json import caution_objects
from tankside.report.dose_text import caution_words, closing, source_line
from tankside.services.feed import FeedAnswer

if TYPE_CHECKING:
    from tankside.report.shapes.amounts import FeedJson


_SHOWN = 3
NOT_IN_WATER = (
    "It is not counted as in the water: no file says how much of it leaches out; what is not eaten "
    "is netted out."
)
EMERGENCY = (
    "Fish roll over, gasp or spit the food out: no more of it, air on, ask a veterinarian.",
    "A person swallows it or it gets into the eyes: see the people lines, call a poison centre or "
    "doctor, show the label.",
)


def feed_document(answer: FeedAnswer, why: bool = False) -> Document:
    """Return one dose in food as a document; ``why`` folds nothing away."""
    law = {answer.amount.agent: rule_lines(answer.agent, answer.law, answer.country)}
    handling = handling_of([answer.amount], law)
    rest = not why
    return Document(
        f"{answer.agent.name} in food: {_title(answer)}",
        (
            Words("", tuple(_first(answer))),
            *caution_words(answer.cautions, why=why),
            Words("", tuple(_rules(answer))),
            Words("The sum in full", (f"Sum: {answer.amount.sum_text}.",), folded=rest),
            *(Words(part.title, part.lines, folded=rest) for part in handling),
            *closing(EMERGENCY, answer.sources, folded=rest),
        ),
        _do(answer),
    )


def feed_line(answer: FeedAnswer) -> str:
    """Say one dose in food and what is done with it in one line."""
    return f"{answer.agent.name} in food: {_title(answer)}. {_do(answer)}"


def feed_json(answer: FeedAnswer) -> FeedJson:
    """Return the documented JSON object of one dose in food."""
    food, fed = answer.amount, answer.fed
    return {
        "agent": answer.agent.id,
        "route": "feed",
        "read_as": list(answer.names_read),
        "amount": {
            "text": plain_blanks(food.text),
            "value": str(food.value),
            "unit": food.unit,
            "for_days": food.days,
            "food_g": food.food_g,
            "active_mg_a_day": food.active_mg_day,
            "mg_per_kg_a_day": food.mg_per_kg_day,
            "mg_per_kg_a_day_at_most": food.most_mg_per_kg_day,
            "sum": plain_blanks(food.sum_text),
            "read_back": plain_blanks(food.read_back),
            "finer_tool": plain_blanks(food.finer),
        },
        "fish_g": list(fed.fish_g),
        "food_g_a_day": fed.food_g_day,
        "days": fed.days,
        "do": plain_blanks(_do(answer)),
        "limits_mg_per_kg_a_day": {
            "usual_low": answer.usual_low_mg_kg_day,
            "usual_high": answer.usual_high_mg_kg_day,
            "hard": answer.hard_mg_kg_day,
        },
        "rules": [plain_blanks(line) for line in _rules(answer)],
        "cautions": caution_objects(answer.cautions),
        "people": dict(food.handling),
        "law": list(rule_lines(answer.agent, answer.law, answer.country)),
        "emergency": list(EMERGENCY),
        "sources": [source_line(source) for source in answer.sources],
    }


def _title(answer: FeedAnswer) -> str:
    days = answer.amount.days
    return f"{answer.amount.text} for {'one day' if days == 1 else f'{days} days together'}"


def _do(answer: FeedAnswer) -> str:
    """Say what is weighed into which food, how it is bound, and on how many days it is fed."""
    food, fed = answer.amount, answer.fed
    name = answer.agent.short_name.lower()
    share = "" if food.days == 1 else f", {_grams(fed.food_g_day)} of it a day"
    days = "on one day" if fed.days == 1 else f"on {fed.days} days"
    return (
        f"Weigh {food.text} of {name}{food.label.holds} into {_grams(food.food_g)} of food"
        f"{share}; feed it {days} to {', '.join(answer.fish)}. {answer.practice['binding']}"
    )


def _first(answer: FeedAnswer) -> Iterator[str]:
    """Say what a kilogram of fish gets, what is usual, and what was fed in the sum."""
    yield from answer.names_read
    fed, most = answer.fed, feed_words(answer.hard_mg_kg_day)
    yield (
        f"{feed_words(answer.amount.mg_per_kg_day)}; usual {_usual(answer)}, never above {most}."
    )
    active = amount(rounded(answer.amount.active_mg_day, _SHOWN), "mg")
    yield (
        f"{active} of the active in {_grams(fed.food_g_day)} of food a day, for "
        f"{_grams(fed.fish_g[1])} of fish."
    )
    if answer.amount.finer:
        yield answer.amount.finer


def _usual(answer: FeedAnswer) -> str:
    low, high = answer.usual_low_mg_kg_day, answer.usual_high_mg_kg_day
    if low is None or high is None:
        return "not known"
    return feed_words(high) if low >= high else f"{low:g} to {feed_words(high)}"


def _rules(answer: FeedAnswer) -> Iterator[str]:
    """Say days, feeding, leftovers, waiting time and who must be asked first."""
    printed = answer.printed_days
    if printed is None:
        yield "No file prints on how many days it is fed: a veterinarian says it."
    else:
        low, high = printed.bounds()
        source = printed.source or printed.provenance.value.replace("_", " ")
        yield (
            f"Printed: {high:g} days ({source})."
            if low >= high or low <= 0
            else (f"Printed: {low:g} to {high:g} days ({source}).")
        )
    if answer.repeat:
        yield f"Again: {answer.repeat}."
    if answer.note:
        yield f"{answer.note[:1].upper()}{answer.note[1:]}."
    yield answer.practice["feeding"]
    yield answer.practice["left_over"]
    if answer.amount.days > 1:
        yield answer.practice["keeping"]
    yield NOT_IN_WATER
    yield _waiting(answer)
    yield answer.practice["prescription"]


def _waiting(answer: FeedAnswer) -> str:
    claim = answer.waiting
    if claim is None:
        return "Waiting time before eating: not known, so never for fish that may be eaten."
    place = claim.conditions.get("place", "")
    return f"Waiting time before eating: {claim.number():g} days ({place}); check the label."


def _grams(grams: float) -> str:
    return amount(rounded(grams, _SHOWN), "g")
