"""The knowledge of the differential, read strictly: one file per condition, one per finding."""

from __future__ import annotations

import dataclasses
import tomllib
from collections.abc import Callable, Iterator, Mapping
from functools import lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar

from tankside.claims import Provenance
from tankside.claims.case_words import CaseWords
from tankside.claims.diagnosis import (
    Cell,
    Chance,
    Condition,
    DiagnosisFacts,
    FindingFacts,
    FineForm,
    LikelihoodLaw,
    PairRule,
    Role,
    Spoiling,
    Standing,
    WaterFirst,
)
from tankside.claims.looking import FishKind
from tankside.library import released
from tankside.library.claim_records import read_claim
from tankside.library.diagnosis_checks import check_facts
from tankside.library.diagnosis_tables import read_cells, read_kinds, read_sittings, read_twins
from tankside.library.kept_base import kept
from tankside.library.problem import Problem, refuse

HOST = "host_species"
_CONDITION = (
    "id", "name", "kind", "water", "urgency", "zoonotic", "reportable", "cannot_miss", "alarm",
    "step", "sources",
)  # fmt: skip
_FINDING = (
    "id", "label", "role", "law", "block", "gate", "answers", "baseline_answer", "question",
    "what", "cost_minutes", "invasiveness", "equipment", "looked_for", "pitfalls", "sources",
)  # fmt: skip
_CELL = ("chance", "low", "high", "provenance", "sources")
_PRIOR = ("chance", "low", "high", "provenance", "note")
_HARM = (
    "missed", "missed_low", "missed_high", "in_vain", "in_vain_low", "in_vain_high",
    "provenance", "note",
)  # fmt: skip
_SPOILING = (
    "invader", "fresh_dead_h", "spoiled_dead_h", "fresh_slide_min", "spoiled_slide_min",
    "least", "provenance", "sources", "note",
)  # fmt: skip


_T = TypeVar("_T")


class _Fault(Exception):
    """A file that cannot be read further; becomes a Problem."""


def load_diagnosis(root: Path | None = None) -> DiagnosisFacts:
    """Return what the differential knows, read once.

    Args:
        root: data folder; None for the shipped one.

    Raises:
        BadInput: a file cannot be used.
    """
    return load_shipped() if root is None else read_once(root)


@lru_cache(maxsize=1)
def load_shipped() -> DiagnosisFacts:
    """Return what the differential knows from the shipped files, or as kept of them."""
    return kept(DiagnosisFacts, released.shipped(), lambda: read_once(released.data_root()))


@lru_cache(maxsize=2)
def read_once(root: Path) -> DiagnosisFacts:
    """Return what the differential knows from the files of a folder, which are read."""
    problems: list[Problem] = []
    facts = read_diagnosis(root, problems)
    refuse(problems)
    return facts


def read_diagnosis(root: Path, problems: list[Problem]) -> DiagnosisFacts:
    """Read conditions, findings, pair rules and judgement figures.

    Args:
        root: data folder.
        problems: faults found are added here.
    """
    kinds = read_kinds(
        root, _one(root, "diagnosis/species.toml", problems).get("species", []), problems
    )
    findings = {f.id: f for f in _each(root, "findings", _finding, problems)}
    if kinds:
        findings[HOST] = _host_question(kinds)
    by_id = _with_rows(
        {c.id: c for c in _each(root, "conditions", _condition, problems)},
        read_cells(root, problems),
        problems,
    )
    conditions = dict(sorted(by_id.items(), key=lambda item: (not item[1].listed, item[0])))
    pairs = _one(root, "diagnosis/pairs.toml", problems).get("pair", [])
    model = _one(root, "diagnosis/model.toml", problems)
    claims = [
        read_claim(record, "diagnosis", "diagnosis/model.toml", problems)
        for record in model.get("claim", [])
    ]
    facts = DiagnosisFacts(
        conditions=MappingProxyType(conditions),
        findings=MappingProxyType(findings),
        pairs=tuple(_pair(record) for record in pairs),
        water_first=tuple(WaterFirst(**record) for record in model.get("water_first", [])),
        numbers=MappingProxyType(
            {c.key.removeprefix("diagnosis."): c for c in claims if c is not None}
        ),
        calibrated=bool(model.get("model", {}).get("calibrated", False)),
        kinds=kinds,
        sittings=read_sittings(
            _one(root, "diagnosis/sittings.toml", problems).get("sitting", []), problems
        ),
        twins=read_twins(root, problems),
        warmth=MappingProxyType(model.get("warmth", {})),
    )
    problems.extend(check_facts(facts))
    return facts


def _host_question(kinds: Mapping[str, FishKind]) -> FindingFacts:
    """Return the question after the kind of the sickest fish; its answers are the kinds."""
    answers = tuple(kinds)
    even = Chance(1 / len(answers), 0.0, 1.0)
    return FindingFacts(
        HOST, "Kind of fish", Role.CONTEXT, LikelihoodLaw.ODDS, HOST, "", answers, answers[0],
        Cell(HOST, MappingProxyType(dict.fromkeys(answers, even)), ()),
        "Which kind of fish is the sickest? The group is used when the kind is not listed.",
        "Kind of fish", 1, 0, "none", "healthy kinds beside the sick one are not named here", (),
        looked_for=False, words=MappingProxyType({k.id: k.name for k in kinds.values()}),
    )  # fmt: skip


def _with_rows(
    conditions: Mapping[str, Condition],
    rows: Mapping[str, tuple[Cell, ...]],
    problems: list[Problem],
) -> dict[str, Condition]:
    """Return the conditions with their cells, which are kept as rows."""
    problems.extend(
        Problem(
            "cells", f"cells/{stray.lower()}.csv", stray, "no condition has this id.", "add it."
        )
        for stray in sorted(rows.keys() - conditions.keys())
    )
    return {
        name: dataclasses.replace(
            condition, cells=MappingProxyType({cell.finding: cell for cell in rows.get(name, ())})
        )
        for name, condition in conditions.items()
    }


def _each(
    root: Path, kind: str, build: Callable[[Mapping[str, Any]], _T], problems: list[Problem]
) -> Iterator[_T]:
    for path in sorted((root / kind).glob("*.toml")):
        try:
            yield build(tomllib.loads(path.read_text(encoding="utf-8")))
        except (_Fault, tomllib.TOMLDecodeError, KeyError, TypeError, ValueError) as why:
            problems.append(
                Problem(
                    "readable",
                    f"{kind}/{path.name}",
                    "",
                    f"cannot be used: {why}.",
                    "compare with a neighbouring file of the same folder.",
                )
            )


def _one(root: Path, name: str, problems: list[Problem]) -> dict[str, Any]:
    try:
        return tomllib.loads((root / name).read_text(encoding="utf-8"))
    except (OSError, tomllib.TOMLDecodeError) as why:
        problems.append(Problem("readable", name, "", f"cannot be read: {why}.", "restore it."))
        return {}


def _closed(table: Mapping[str, Any], needed: tuple[str, ...], may: tuple[str, ...] = ()) -> None:
    """Refuse a missing or unknown field: a misspelt one would be silently ignored."""
    missing = [name for name in needed if name not in table]
    unknown = [name for name in table if name not in needed + may]
    if missing or unknown:
        raise _Fault(f"missing fields {missing}, unknown fields {unknown}")


def _chances(table: Mapping[str, Any]) -> Mapping[str, Chance]:
    point, low, high = table["chance"], table["low"], table["high"]
    if not point.keys() == low.keys() == high.keys():
        raise _Fault("chance, low and high name different answers")
    return MappingProxyType(
        {a: Chance(float(point[a]), float(low[a]), float(high[a])) for a in point}
    )


def _cell(table: Mapping[str, Any], finding: str) -> Cell:
    _closed(table, _CELL, ("note",))
    return Cell(
        finding,
        _chances(table),
        tuple(table["sources"]),
        Provenance(table["provenance"]),
        str(table.get("note", "")),
    )


def _finding(content: Mapping[str, Any]) -> FindingFacts:
    _closed(content, ("finding", "baseline"), ("spoiling", "healthy", "fine_of"))
    head = content["finding"]
    _closed(head, _FINDING, ("words", "sitting", "least_magnification"))
    spoiling = content.get("spoiling")
    return FindingFacts(
        **{
            **head,
            "role": Role(head["role"]),
            "law": LikelihoodLaw(head["law"]),
            "answers": tuple(head["answers"]),
            "sources": tuple(head["sources"]),
            "words": MappingProxyType(dict(head.get("words", {}))),
        },
        baseline=_cell(content["baseline"], head["id"]),
        spoiling=_spoiling(spoiling) if spoiling else None,
        healthy=_cell(content["healthy"], head["id"]) if "healthy" in content else None,
        fine_of=_fine(content["fine_of"]) if "fine_of" in content else None,
    )


def _fine(table: Mapping[str, Any]) -> FineForm:
    _closed(table, ("finding", "read_out", "answers"))
    implied = {answer: tuple(coarse) for answer, coarse in table["answers"].items()}
    return FineForm(table["finding"], MappingProxyType(implied), bool(table["read_out"]))


def _spoiling(table: Mapping[str, Any]) -> Spoiling:
    _closed(table, _SPOILING)
    kept = {k: v for k, v in table.items() if k not in ("provenance", "sources", "note")}
    return Spoiling(**kept)


def _condition(content: Mapping[str, Any]) -> Condition:
    _closed(content, ("condition", "prior", "harm", "looks"))
    head, prior, harm = content["condition"], content["prior"], content["harm"]
    _closed(head, _CONDITION, ("standing", "organism"))
    _closed(prior, _PRIOR)
    _closed(harm, _HARM)
    return Condition(
        **{
            **head,
            "sources": tuple(head["sources"]),
            "standing": Standing(head.get("standing", "listed")),
        },
        prior=Chance(prior["chance"], prior["low"], prior["high"]),
        prior_note=prior["note"],
        cells=MappingProxyType({}),
        harm_missed=Chance(harm["missed"], harm["missed_low"], harm["missed_high"]),
        harm_in_vain=Chance(harm["in_vain"], harm["in_vain_low"], harm["in_vain_high"]),
        looks=MappingProxyType(dict(content["looks"])),
    )


def _pair(record: Mapping[str, Any]) -> PairRule:
    return PairRule(
        record["first"],
        record["second"],
        Chance(record["factor"], record["low"], record["high"]),
        tuple(record["sources"]),
        Provenance(record["provenance"]),
        record["note"],
    )


@lru_cache(maxsize=2)
def load_case_words(root: Path | None = None) -> CaseWords:
    """Return how the words of a case answer the context findings, read once.

    Raises:
        BadInput: the file cannot be used.
    """
    problems: list[Problem] = []
    folder = root or released.data_root()
    table = _one(folder, "diagnosis/case_words.toml", problems)
    refuse(problems)
    return CaseWords(
        MappingProxyType(table["host_groups"]),
        MappingProxyType(table["host_others"]),
        tuple((event["answer"], tuple(event["words"])) for event in table["event_words"]),
        float(table["days"]["new"]),
        float(table["days"]["old"]),
    )
