"""A water calculation as text for a person and as the documented JSON object."""

from __future__ import annotations

from tankside.services.water_answer import Result, Shown


def as_object(shown: Shown) -> dict[str, object]:
    """Return the documented JSON shape."""
    return {
        "calculation": shown.calculation,
        "inputs": dict(shown.inputs),
        "results": [
            {"name": r.name, "value": r.value, "unit": r.unit, "text": r.text}
            for r in shown.results
        ],
        "formulas": [
            {
                "method": f.method,
                "gives": f.gives,
                "equation": f.equation,
                "source": f.source,
                "citation": f.citation,
                "doi": f.doi,
                "note": f.note,
            }
            for f in shown.formulas
        ],
        "why": shown.why,
        "rivals": [
            {"method": r.method, "value": r.value, "unit": r.unit, "in_range": r.in_range}
            for r in shown.rivals
        ],
        "warnings": list(shown.warnings),
        "notes": list(shown.notes),
    }


def as_text(shown: Shown) -> str:
    """Return the answer for a person: result, warnings, sum, source, rivals, notes."""
    width = max(len(r.name) for r in shown.results)
    lines = [f"{r.name:<{width}}  {r.text}" for r in shown.results]
    lines += [f"WARNING: {warning}" for warning in shown.warnings]
    lines += ["", "From: " + ", ".join(f"{name} {text}" for name, text in shown.inputs)]
    for used in shown.formulas:
        doi = f", doi {used.doi}" if used.doi else ""
        lines += ["", f"Formula: {used.equation}", f"Source: {used.citation}{doi}"]
        lines += [f"Note: {used.note}"] if used.note else []
    if shown.why:
        lines += ["", f"Why this one: {shown.why}."]
    for rival in shown.rivals:
        outside = "" if rival.in_range else " (out of its range)"
        value = Result("", rival.value, rival.unit).text
        lines.append(f"Rival {rival.method}: {value}{outside}")
    if shown.notes:
        lines += ["", *shown.notes]
    return "\n".join(lines)
