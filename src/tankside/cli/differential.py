"""``tankside differential``: what fits a case or a file of findings, and what to look at next."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Annotated

import typer

from tankside.cli.account import who_types
from tankside.cli.case_reference import CASE_HELP
from tankside.cli.show import show
from tankside.errors import BadInput
from tankside.terminal.output import answer

if TYPE_CHECKING:
    from tankside.services.differential import DifferentialAnswer
    from tankside.services.differential_case import CaseDifferentialAnswer

Case = Annotated[str | None, typer.Argument(metavar="CASE", help=CASE_HELP)]
Findings = Annotated[
    str | None,
    typer.Option(metavar="FILE", help='a JSON file {"findings": {finding: answer or [answers]}}'),
]
Idea = Annotated[
    str | None,
    typer.Option("--own-idea", help="your own first idea, by code or name, kept in the case first"),
]
NoIdea = Annotated[bool, typer.Option("--no-own-idea", help="do not ask for your own first idea")]
Cannot = Annotated[list[str] | None, typer.Option(help="a finding that cannot be looked at here")]
Water = Annotated[
    str | None,
    typer.Option("--system", help="the water asked about; left out, the one with the sick fish"),
]
Early = Annotated[bool, typer.Option("--early", help="only the unordered list to keep in mind")]
Seed = Annotated[int | None, typer.Option(help="seed of the redraws behind the ranges")]
Pdf = Annotated[str | None, typer.Option(help="write it as a PDF to this file")]
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]


def command(  # noqa: PLR0913 (one option for each answer)
    case: Case = None,
    findings: Findings = None,
    own_idea: Idea = None,
    no_own_idea: NoIdea = False,
    cannot: Cannot = None,
    system: Water = None,
    early: Early = False,
    seed: Seed = None,
    pdf: Pdf = None,
    as_json: Json = False,
) -> None:
    """What fits, what speaks for and against it, what must not be missed, what to look at next.

    Give a case file, or --findings FILE. Findings nobody looked at are left out; several answers
    that are all possible are given as a list.
    """
    from tankside.report import differential_json as as_data
    from tankside.report.differential_text import case_differential_document, differential_document

    if (case is None) == (findings is None):
        raise BadInput(
            "E-CLI-02",
            "Give either a case file or --findings FILE.",
            given="both" if case else "neither",
            needed="one of the two",
            next_step="Leave one of them out, or give the one that is missing.",
            field="case",
        )
    if system is not None and case is None:
        raise BadInput(
            "E-CLI-02",
            "Only a case has several waters.",
            given=f"--system {system}",
            needed="a case file",
            next_step="Leave --system out, or give the case.",
            field="system",
        )
    unable = frozenset(cannot or ())
    if findings is not None:
        ranked = _from_findings(findings, seed, unable)
        document = differential_document(ranked)
        data = as_data.differential_json(ranked)
    else:
        of_case = _from_case(str(case), own_idea, no_own_idea or as_json, seed, unable, system)
        ranked = of_case.differential
        document, data = (
            case_differential_document(of_case),
            as_data.case_differential_json(of_case),
        )
    if early:
        answer(as_data.early_json(ranked), _early_text(ranked), as_json=as_json)
        return
    show(document, data, as_json=as_json, pdf=pdf, case=case)


def _early_text(ranked: DifferentialAnswer) -> str:
    from tankside.present.block_text import block_lines
    from tankside.report.differential_text import keep_in_mind_block

    return "\n".join(block_lines(keep_in_mind_block(ranked)))


def _from_findings(path: str, seed: int | None, cannot: frozenset[str]) -> DifferentialAnswer:
    from pathlib import Path

    from tankside.intake.findings_file import read_findings, seed_of
    from tankside.services.differential import differential

    seen = read_findings(Path(path))
    return differential(seen, seed=seed_of(seen) if seed is None else seed, cannot=cannot)


def _from_case(
    path: str,
    idea: str | None,
    quiet: bool,
    seed: int | None,
    cannot: frozenset[str],
    system: str | None,
) -> CaseDifferentialAnswer:
    from tankside.report.differential_words import IDEA_SHOWN_BY
    from tankside.services.differential_case import differential_of, write_own_idea

    of_case = differential_of(path, system=system, seed=seed, cannot=cannot)
    if idea is None and not quiet and not of_case.own_idea and sys.stdin.isatty():
        print(_early_text(of_case.differential))
        idea = input("Your own first idea (code or name, or Enter to go on): ").strip() or None
    if idea is None:
        return of_case
    write_own_idea(path, idea, shown_by=IDEA_SHOWN_BY, by=who_types())
    return differential_of(path, system=system, seed=seed, cannot=cannot)
