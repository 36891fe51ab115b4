"""One amount as the documented JSON object and as text for a person."""

from __future__ import annotations

from tankside.present.handling import handling_of
from tankside.services.dose import DoseAnswer


def as_object(found: DoseAnswer) -> dict[str, object]:
    """Return the documented JSON object of one amount."""
    amount = found.amount
    return {
        "agent": found.agent.id,
        "read_as": list(found.read_as),
        "amount": {
            "text": amount.text.replace("\xa0", " "),
            "value": str(amount.value),
            "unit": amount.unit,
            "for_l": str(amount.for_l),
            "strength_mg_l": float(amount.strength_mg_l),
            "strength_smaller_volume_mg_l": float(amount.strength_smaller_mg_l),
            "basis": found.agent.basis,
            "sum": amount.sum_text.replace("\xa0", " "),
            "stock_solution": amount.stock_solution.replace("\xa0", " "),
            "reason": amount.reason,
            "read_back": amount.read_back,
        },
        "do": found.line.replace("\xa0", " "),
        "limits_mg_l": {
            "usual_low": found.usual_low_mg_l,
            "usual_high": found.usual_high_mg_l,
            "hard": found.hard_mg_l,
        },
        "cautions": [
            {
                "level": caution.level.value,
                "code": caution.code,
                "words": caution.words,
                "why": caution.why.replace("\xa0", " "),
                "claim": caution.claim_key,
                "instead": caution.what_instead,
            }
            for caution in found.cautions
        ],
        "people": dict(found.people),
        "law": list(found.law),
        "emergency": list(found.emergency),
        "sources": list(found.sources),
    }


def as_text(found: DoseAnswer) -> str:
    """Return the same for a person."""
    amount = found.amount
    usual = "not known"
    if found.usual_low_mg_l is not None and found.usual_high_mg_l is not None:
        usual = f"{found.usual_low_mg_l:g} to {found.usual_high_mg_l:g} mg/L"
        if found.usual_low_mg_l == found.usual_high_mg_l:
            usual = f"{found.usual_low_mg_l:g} mg/L"
    lines = [
        f"{found.agent.name}: {amount.text}",
        *found.read_as,
        "",
        found.line,
        f"Sum: {amount.sum_text}",
        f"Strength is given {found.agent.basis}. Usual {usual}; "
        f"never above {found.hard_mg_l:g} mg/L.",
        f"If the water is the smallest that fits: {float(amount.strength_smaller_mg_l):.4g} mg/L.",
    ]
    if amount.stock_solution:
        lines.append(amount.stock_solution)
    if amount.reason:
        lines.append(f"Above the soft limit, with this reason: {amount.reason}")
    lines += [
        f"{c.level.value.upper()} {c.words} {c.why.rstrip('.')}. {c.what_instead}"
        for c in found.cautions
    ]
    for one in handling_of([amount]):
        lines += ["", one.title, *one.lines, *found.law]
    lines += ["", "EMERGENCY", *found.emergency, "", *(f"Source {s}" for s in found.sources)]
    lines.append("Information with options, not an order: the label, local rules and a licensed")
    lines.append("veterinarian come first.")
    return "\n".join(lines)
