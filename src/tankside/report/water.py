"""A water calculation as one document and as the documented JSON object."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from tankside.present.blocks import Document, Words
from tankside.report.water_words import (
    ARITHMETIC,
    figure_name,
    figure_words,
    remark_words,
    rival_name,
)
from tankside.services.water_answer import DIGITS, UsedFormula, WaterAnswer

if TYPE_CHECKING:
    from tankside.report.shapes.amounts import WaterFormulaJson, WaterJson


def water_json(answer: WaterAnswer) -> WaterJson:
    """Return the documented JSON shape of ``water``."""
    return {
        "calculation": answer.calculation,
        "inputs": dict(answer.inputs),
        "results": [
            {
                "name": figure_name(r),
                "value": r.value,
                "unit": r.unit,
                "text": figure_words(r.value, r.unit, r.digits),
            }
            for r in answer.results
        ],
        "formulas": [_formula_json(used) for used in answer.formulas] or _arithmetic_json(answer),
        "why": answer.why,
        "rivals": [
            {
                "method": rival_name(r.method),
                "value": r.value,
                "unit": r.unit,
                "in_range": r.in_range,
            }
            for r in answer.rivals
        ],
        "warnings": _warnings(answer),
        "notes": [remark_words(note) for note in answer.notes],
    }


def water_document(answer: WaterAnswer) -> Document:
    """Return the answer for a person: result, warnings, sum, source, rivals, notes."""
    names = [figure_name(result) for result in answer.results]
    width = max(map(len, names))
    figures = [
        f"{name:<{width}}  {figure_words(r.value, r.unit, r.digits)}"
        for name, r in zip(names, answer.results, strict=True)
    ]
    figures += [f"WARNING: {warning}" for warning in _warnings(answer)]
    paragraphs = [
        figures,
        ["From: " + ", ".join(f"{name} {text}" for name, text in answer.inputs)],
        *(_formula_lines(used) for used in answer.formulas),
        *([] if answer.formulas else [_arithmetic_lines(answer)]),
        list(_why_lines(answer)),
        [remark_words(note) for note in answer.notes],
    ]
    title = f"Water: {answer.calculation.replace('-', ' ')}"
    return Document(title, tuple(Words("", tuple(lines)) for lines in paragraphs if lines))


def _warnings(answer: WaterAnswer) -> list[str]:
    texts = (outside.text for outside in answer.outside)
    return [*texts, *(remark_words(warning) for warning in answer.warnings)]


def _formula_json(used: UsedFormula) -> WaterFormulaJson:
    return {
        "method": used.method.name,
        "gives": used.method.gives,
        "equation": used.method.equation,
        "source": used.method.source,
        "citation": used.work.citation,
        "doi": used.work.doi,
        "note": used.method.note,
    }


def _arithmetic_json(answer: WaterAnswer) -> list[WaterFormulaJson]:
    return [
        {
            "method": "arithmetic",
            "gives": "",
            "equation": ARITHMETIC[answer.calculation],
            "source": "",
            "citation": "arithmetic",
            "doi": "",
            "note": "",
        }
    ]


def _formula_lines(used: UsedFormula) -> list[str]:
    doi = f", doi {used.work.doi}" if used.work.doi else ""
    lines = [f"Formula: {used.method.equation}", f"Source: {used.work.citation}{doi}"]
    return [*lines, f"Note: {used.method.note}"] if used.method.note else lines


def _arithmetic_lines(answer: WaterAnswer) -> list[str]:
    return [f"Formula: {ARITHMETIC[answer.calculation]}", "Source: arithmetic"]


def _why_lines(answer: WaterAnswer) -> Iterable[str]:
    if answer.why:
        yield f"Why this one: {answer.why}."
    for rival in answer.rivals:
        value = figure_words(rival.value, rival.unit, DIGITS)
        outside = "" if rival.in_range else " (out of its range)"
        yield f"Rival {rival_name(rival.method)}: {value}{outside}"
