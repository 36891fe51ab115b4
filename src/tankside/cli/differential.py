"""``tankside differential``: what fits a case or a file of findings, and what to look at next."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from tankside.cli.account import who_types
from tankside.errors import BadInput
from tankside.terminal.output import answer

if TYPE_CHECKING:
    from tankside.services.differential import Differential

Case = Annotated[str | None, typer.Argument(metavar="CASE", help="the case file")]
Findings = Annotated[
    str | None,
    typer.Option(metavar="FILE", help='a JSON file {"findings": {finding: answer or [answers]}}'),
]
Idea = Annotated[
    str | None, typer.Option("--own-idea", help="your own first idea, kept in the case first")
]
NoIdea = Annotated[bool, typer.Option("--no-own-idea", help="do not ask for your own first idea")]
Cannot = Annotated[list[str] | None, typer.Option(help="a finding that cannot be looked at here")]
Early = Annotated[bool, typer.Option("--early", help="only the unordered list to keep in mind")]
Seed = Annotated[int | None, typer.Option(help="seed of the redraws behind the ranges")]
By = Annotated[str | None, typer.Option(help="who writes this (default: the user of this machine)")]
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]


def command(
    case: Case = None,
    findings: Findings = None,
    own_idea: Idea = None,
    no_own_idea: NoIdea = False,
    cannot: Cannot = None,
    early: Early = False,
    seed: Seed = None,
    as_json: Json = False,
) -> None:
    """What fits, what speaks for and against it, what must not be missed, what to look at next.

    Give a case file, or --findings FILE. Findings nobody looked at are left out; several answers
    that are all possible are given as a list.
    """
    from tankside.report.differential_json import as_object
    from tankside.report.differential_text import as_text, early_text

    if (case is None) == (findings is None):
        raise BadInput(
            "E-CLI-02",
            "Give either a case file or --findings FILE.",
            given="both" if case else "neither",
            needed="one of the two",
            next_step="Leave one of them out, or give the one that is missing.",
            field="case",
        )
    unable = frozenset(cannot or ())
    extra: dict[str, object] = {}
    if findings is not None:
        found = _from_findings(findings, seed, unable)
    else:
        found, extra = _from_case(str(case), own_idea, no_own_idea or as_json, seed, unable)
    if early:
        answer({"keep_in_mind": list(found.early)}, early_text(found), as_json=as_json)
        return
    told = (
        [f"Your own first idea: {found.name(str(extra['own_idea']))}"]
        if extra.get("own_idea")
        else []
    )
    answer({**as_object(found), **extra}, "\n\n".join([*told, as_text(found)]), as_json=as_json)


def _from_findings(path: str, seed: int | None, cannot: frozenset[str]) -> Differential:
    from pathlib import Path

    from tankside.intake.findings_file import read_findings, seed_of
    from tankside.services.differential import differential

    seen = read_findings(Path(path))
    return differential(seen, seed=seed_of(seen) if seed is None else seed, cannot=cannot)


def _from_case(
    path: str, idea: str | None, quiet: bool, seed: int | None, cannot: frozenset[str]
) -> tuple[Differential, dict[str, object]]:
    from tankside.report.differential_text import early_text
    from tankside.services.differential_case import differential_of, write_own_idea

    answered = differential_of(path, seed=seed, cannot=cannot)
    if idea is None and not quiet and not answered.own_idea and sys.stdin.isatty():
        print(early_text(answered.found))
        idea = input("Your own first idea (identifier, or Enter to go on): ").strip() or None
    if idea is not None:
        write_own_idea(path, idea, by=who_types())
        answered = differential_of(path, seed=seed, cannot=cannot)
    extra: dict[str, object] = {
        "own_idea": answered.own_idea,
        "confirmed": list(answered.outcome),
        "not_known_findings": list(answered.not_in_list),
    }
    return answered.found, extra
