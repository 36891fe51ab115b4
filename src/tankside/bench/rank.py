"""``tankside bench rank``: how well and how fast the differential ranks known cases."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

import typer

from tankside.errors import BadInput
from tankside.terminal.output import answer

if TYPE_CHECKING:
    from tankside.bench.rank_scores import Scores, Share

Vignettes = Annotated[
    str | None, typer.Option(metavar="FILE", help="published cases, coded as findings")
]
Cases = Annotated[
    str | None, typer.Option(metavar="FOLDER", help="case files in which a cause was confirmed")
]
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]


def command(vignettes: Vignettes = None, cases: Cases = None, as_json: Json = False) -> None:
    """Rank known cases: top-1, top-3, proper scores, calibration, harm missed, speed.

    Once with all findings and once with history and gross signs only. Give --vignettes FILE, or
    --cases FOLDER to score your own confirmed cases (and your own first ideas with them).
    """
    from pathlib import Path

    from tankside.bench.rank_scores import score
    from tankside.bench.rank_speed import measure
    from tankside.bench.vignettes import read_cases, read_vignettes
    from tankside.services.differential import tables

    if (vignettes is None) == (cases is None):
        raise _not_one("both" if cases else "neither")
    compiled = tables()
    if vignettes is not None:
        cases_read = read_vignettes(Path(vignettes), compiled.facts)
    else:
        cases_read = read_cases(Path(str(cases)))
    with_idea = [case for case in cases_read if case.own_idea]
    right = sum(case.own_idea in case.confirmed for case in with_idea)
    whole = score(compiled, cases_read, lambda case: case.evidence)
    gross = score(compiled, cases_read, lambda case: case.gross(compiled.facts))
    speed = measure(compiled, cases_read)
    result = {
        "all": _object(whole),
        "gross_only": _object(gross),
        "speed": speed,
        "calibrated": compiled.facts.calibrated,
        "own_idea": {"right": right, "of": len(with_idea)},
    }
    text = [
        *_lines("ALL FINDINGS", whole),
        *_lines("HISTORY AND GROSS SIGNS ONLY", gross),
        *([f"OWN FIRST IDEA right in {right} of {len(with_idea)}"] if with_idea else []),
        "SPEED (warm, one thread)",
        *(f"  {name}: {value:.4g}" for name, value in speed.items() if value is not None),
    ]
    answer(result, "\n".join(text), as_json=as_json)


def _not_one(chosen: str) -> BadInput:
    return BadInput(
        "E-CLI-02",
        "Give either a file of vignettes or a folder of cases.",
        given=chosen,
        needed="--vignettes FILE or --cases FOLDER",
        next_step="Give one of the two.",
        field="vignettes",
    )


def _object(scores: Scores) -> dict[str, object]:
    """Return the documented shape; shares are between 0 and 1, with their counts beside."""
    shares = {"top1": scores.top1, "top3_any": scores.top3_any, "top3_all": scores.top3_all}
    return {
        "n": scores.top1.of,
        **{name: share.value for name, share in shares.items()},
        "log_score": scores.log_score,
        "brier": scores.brier,
        "counts": {name: share.count for name, share in shares.items()},
        "wilson": {name: list(share.interval) for name, share in shares.items()},
        "raw_tables": {
            "top1": {"count": scores.raw_top1.count, "of": scores.raw_top1.of},
            "top3_any": {"count": scores.raw_top3_any.count, "of": scores.raw_top3_any.of},
        },
        "log_score_prior": scores.log_score_prior,
        "brier_prior": scores.brier_prior,
        "dangerous_in_view": None
        if scores.in_view is None
        else {"count": scores.in_view.count, "of": scores.in_view.of},
        "harm_missed": scores.harm_missed,
        "calibration": [
            {"low": b.low, "high": b.high, "said": b.said, "true": b.true, "n": b.n}
            for b in scores.calibration
        ],
        "misses": [
            {"id": name, "confirmed": list(confirmed), "ranked": list(ranked)}
            for name, confirmed, ranked in scores.misses
        ],
    }


def _lines(title: str, scores: Scores) -> list[str]:
    lines = [
        f"{title} ({scores.top1.of} cases)",
        _share("first row confirmed (top-1)", scores.top1),
        _share("any confirmed in first three", scores.top3_any),
        _share("all confirmed in first three", scores.top3_all),
        _share("the tables alone, one cause at a time: top-1", scores.raw_top1),
        _share("the tables alone: any in first three", scores.raw_top3_any),
    ]
    if scores.in_view is not None:
        lines.append(_share("dangerous ones in view", scores.in_view))
    lines += [
        "  proper scores, 0 is best:",
        f"  log score {scores.log_score:.3f} (priors alone {scores.log_score_prior:.3f})",
        f"  Brier {scores.brier:.3f} (priors alone {scores.brier_prior:.3f})",
        f"  harm missed: {scores.harm_missed:.3f} of all harm",
        "  calibration: said / true / n",
    ]
    lines += [f"    {b.said:.2f} / {b.true:.2f} / {b.n}" for b in scores.calibration]
    for name, confirmed, ranked in scores.misses:
        lines.append(f"  not first: {name} {'+'.join(confirmed)}; ranked {', '.join(ranked)}")
    return lines


def _share(name: str, share: Share) -> str:
    low, high = share.interval
    return f"  {name}: {share.count} of {share.of} (95 % Wilson {low:.2f} to {high:.2f})"
