"""``tankside forecast``: the chosen course, water only and no treatment, day by day."""

from __future__ import annotations

from typing import Annotated

import typer

from tankside.cli.care import FORECAST, show_care
from tankside.cli.case_reference import CASE_HELP
from tankside.errors import NotPossible
from tankside.terminal.output import answer, as_line, in_words, note
from tankside.terminal.progress import teller

NO_FIGURES = "E-FC-02"
MOVERS = "movers"


def command(  # noqa: PLR0913 (one option for each answer)
    case: Annotated[str, typer.Argument(metavar="CASE", help=CASE_HELP)],
    organism: Annotated[str | None, typer.Option(help="parasite, when the case names none")] = None,
    against: Annotated[
        str | None, typer.Option(help="course to compare it with, as plan names it")
    ] = None,
    sweep: Annotated[
        list[str] | None,
        typer.Option(
            help="say at which value of it the advice changes: a sampled value, or 'movers' for "
            "those that matter most (may repeat)"
        ),
    ] = None,
    sampled: Annotated[
        bool, typer.Option("--sampled", help="list everything sampled, with range and source")
    ] = False,
    runs: Annotated[int | None, typer.Option(help="runs of each course")] = None,
    fish: Annotated[int | None, typer.Option(help="fish a look takes")] = None,
    csv: Annotated[str | None, typer.Option(help="write the daily quantiles to this file")] = None,
    figure: Annotated[
        str | None, typer.Option(help="draw it to this file: .svg, .png or .pdf")
    ] = None,
    pdf: Annotated[str | None, typer.Option(help="write the answer as a PDF to this file")] = None,
    seed: Annotated[int | None, typer.Option(help="of chance (default: from the case)")] = None,
    json: Annotated[bool, typer.Option("--json", help="print one JSON object")] = False,
) -> None:
    """Forecast the chosen course: windows, endings, dates, day by day, and what matters most.

    Water only and no treatment are played under the same luck. Where no figures allow a forecast
    it says what is done for the cause and what to expect, with the dates in print; a parasite that
    was named and has no figures ends with its dates in print and exit code 3.
    """
    from tankside.intake.forecast_setup import LOOK_FISH, RUNS, ForecastRequest
    from tankside.present.block_text import document_text
    from tankside.report import forecast_files as files
    from tankside.report.forecast_document import forecast_document
    from tankside.report.forecast_json import forecast_json
    from tankside.report.forms import case_foot, write_paper
    from tankside.services.by_cause import forecast_by_cause
    from tankside.services.care_case import CareAnswer

    held = None if sweep and MOVERS in sweep else tuple(sweep or ())
    request = ForecastRequest(
        organism, seed, RUNS if runs is None else runs, against, held,
        LOOK_FISH if fish is None else fish,
    )  # fmt: skip
    try:
        foretold = forecast_by_cause(case, request, progress=teller(quiet=json))
    except NotPossible as refused:
        _dates(case, organism, refused, pdf, as_json=json)
        raise
    if isinstance(foretold, CareAnswer):
        if foretold.refused is not None and (csv or figure or against or sweep):
            raise foretold.refused
        show_care(foretold, FORECAST, as_json=json, pdf=pdf, case=case)
        return
    document = forecast_document(foretold, everything=sampled)
    for target, write in ((csv, files.write_csv), (figure, files.write_figure)):
        if target is not None:
            write(foretold, target)
            note(f"Written: {target}")
    if pdf is not None:
        write_paper(document, pdf, case_foot(case))
        note(f"Written: {pdf}")
    answer(forecast_json(foretold), document_text(document), as_json=json)


def _dates(
    case: str, organism: str | None, refused: NotPossible, pdf: str | None, *, as_json: bool
) -> None:
    """Print the dates that print supports where there is no forecast, and leave with its code."""
    from tankside.present.block_text import document_text
    from tankside.report.forms import case_foot, write_paper
    from tankside.report.published_dates import dates_document, dates_json
    from tankside.services.published_dates import published_dates

    if refused.code != NO_FIGURES:
        return
    dates = published_dates(case, organism)
    if dates is None or not dates.missing:
        return
    document = dates_document(dates)
    if as_json:
        print(as_line({"error": refused.as_json(), **dates_json(dates)}))
    else:
        note(in_words(refused))
        print(document_text(document))
    if pdf is not None:
        write_paper(document, pdf, case_foot(case))
        note(f"Written: {pdf}")
    raise typer.Exit(refused.exit_code)
