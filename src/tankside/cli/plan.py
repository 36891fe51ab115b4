"""``tankside plan``: compare courses for a case, and choose one."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

import typer

from tankside.cli.account import who_types
from tankside.cli.care import PLAN, Choice, show_care
from tankside.cli.case_reference import CASE_HELP
from tankside.cli.show import show
from tankside.terminal.progress import teller


def command(  # noqa: PLR0913 (one option for each answer)
    case: Annotated[str, typer.Argument(metavar="CASE", help=CASE_HELP)],
    choose: Annotated[
        int | None, typer.Option(help="write course K of the comparison into the case")
    ] = None,
    on: Annotated[
        str | None, typer.Option(help="day the course may begin (default: latest of the case)")
    ] = None,
    strength: Annotated[
        list[str] | None,
        typer.Option(help='strength to try, for example "sodium_chloride=2 g/L" (may repeat)'),
    ] = None,
    label: Annotated[
        list[str] | None,
        typer.Option(help='what a label says, for example "sodium_chloride=pure" (may repeat)'),
    ] = None,
    scale: Annotated[str | None, typer.Option(help='smallest step of the scale: "1 g"')] = None,
    syringe: Annotated[str | None, typer.Option(help='step of the syringe: "0.5 mL"')] = None,
    change: Annotated[str | None, typer.Option(help='litres of a part change: "40 L"')] = None,
    only: Annotated[
        list[str] | None, typer.Option(help="compare only this substance (may repeat)")
    ] = None,
    warming: Annotated[bool, typer.Option(help="try warming too")] = True,
    warm_to: Annotated[
        str | None, typer.Option(help='temperature to warm to, "18 C" (default: some degrees more)')
    ] = None,
    organism: Annotated[str | None, typer.Option(help="parasite, when the case names none")] = None,
    seed: Annotated[int | None, typer.Option(help="of chance (default: from the case)")] = None,
    reason: Annotated[
        str, typer.Option(help="why this course; with 10 characters it passes a soft limit")
    ] = "",
    by: Annotated[str | None, typer.Option(help="who writes this")] = None,
    pdf: Annotated[str | None, typer.Option(help="write it as a PDF to this file")] = None,
    json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Compare courses: clear in n of 20 runs, fish lost, days, work, cautions, what is blocked.

    Strengths you enter are arithmetic, not a recommendation. Labels, local law and a licensed
    veterinarian come first.
    """
    from tankside.intake.plan_setup import PlanRequest
    from tankside.report.plan_json import plan_json
    from tankside.report.plan_text import chosen_block, plan_document
    from tankside.services.by_cause import plan_by_cause
    from tankside.services.care_case import CareAnswer
    from tankside.services.plan import choose_course

    request = PlanRequest(
        on=on,
        organism=organism,
        seed=seed,
        strengths=tuple(strength or ()),
        labels=tuple(label or ()),
        scale=scale,
        syringe=syringe,
        change=change,
        warm=warming,
        warm_to=warm_to,
        only=tuple(only or ()),
        reason=reason,
    )
    compared = plan_by_cause(case, request, progress=teller(quiet=json))
    if isinstance(compared, CareAnswer):
        picked = None if choose is None else Choice(choose, by, reason)
        show_care(compared, PLAN, as_json=json, pdf=pdf, case=case, choice=picked)
        return
    data, document = plan_json(compared), plan_document(compared)
    if choose is not None:
        added = choose_course(case, compared, choose, by=who_types(by), reason=reason)
        data["chosen"] = {"number": choose, "entry": added.new[0].id}
        document = replace(document, blocks=(*document.blocks, chosen_block(choose, added)))
    show(document, data, as_json=json, pdf=pdf, case=case)
