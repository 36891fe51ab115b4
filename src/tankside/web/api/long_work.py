"""What takes seconds (plan, forecast, follow-up): the first request starts it; ask until 200."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Annotated, Any

from fastapi import APIRouter, Query, Request
from starlette.responses import JSONResponse

from tankside.errors import Mistake
from tankside.intake.follow_setup import FollowRequest
from tankside.intake.forecast_setup import LOOK_FISH, RUNS, ForecastRequest
from tankside.intake.plan_setup import PlanRequest
from tankside.records.case_store import read_case
from tankside.report.care_json import care_json
from tankside.report.follow_json import follow_json
from tankside.report.forecast_json import forecast_json
from tankside.report.plan_json import plan_json
from tankside.services.by_cause import follow_by_cause, forecast_by_cause, plan_by_cause
from tankside.services.care_case import CareAnswer
from tankside.web.api.said import WAITING, answered, refuse, say, still_working
from tankside.web.api.typed import (
    FEWEST_RUNS,
    MOST_RUNS,
    CaseName,
    Day,
    Flag,
    Organism,
    Seed,
    Several,
    Text,
    quantity,
)
from tankside.web.pages.find import find_case
from tankside.web.worker import Job, Worker

router = APIRouter(prefix="/cases/{case}", tags=["what takes seconds"])
Runs = Annotated[int, Query(ge=FEWEST_RUNS, le=MOST_RUNS, description="runs of each course")]
Fish = Annotated[int, Query(ge=1, le=1000, description="fish a look takes")]
Progress = Callable[[str, int, int], None]
Content = Mapping[str, object]


@router.get("/plan", responses={**answered("plan", "care"), **still_working()})
def compare(  # noqa: PLR0913 (one for each thing that a plan depends on)
    request: Request,
    case: CaseName,
    on: Day = None,
    organism: Organism = None,
    strength: Several = [],  # noqa: B006 (the framework copies it)
    label: Several = [],  # noqa: B006
    scale: Annotated[str | None, quantity("1 g")] = None,
    syringe: Annotated[str | None, quantity("0.5 mL")] = None,
    change: Annotated[str | None, quantity("40 L")] = None,
    only: Several = [],  # noqa: B006
    warming: Flag = True,
    warm_to: Annotated[str | None, quantity("28 C")] = None,
    seed: Seed = None,
    reason: Text = None,
    step: Several = [],  # noqa: B006
    days: Text = None,
    named: Several = [],  # noqa: B006
) -> JSONResponse:
    """Compare courses; strengths that are sent are arithmetic, not a recommendation.

    ``step`` and ``days`` put a course together by hand, as ``tankside plan --step`` does; ``named``
    leaves only the courses of these names beside it.
    """
    asked = PlanRequest(
        on, organism, seed, tuple(strength), tuple(label), scale, syringe, change,
        warming, warm_to, tuple(only), reason or "", tuple(step), days or "", tuple(named),
    )  # fmt: skip
    path = find_case(request, case)

    def work(tell: Progress) -> Content:
        compared = plan_by_cause(path, asked, progress=tell)
        return care_json(compared) if isinstance(compared, CareAnswer) else plan_json(compared)

    return _answer(request, case, f"plan {asked}", work)


@router.get("/forecast", responses={**answered("forecast", "care"), **still_working()})
def foretell(
    request: Request,
    case: CaseName,
    organism: Organism = None,
    against: Text = None,
    hold: Several = [],  # noqa: B006 (the framework copies it)
    runs: Runs = RUNS,
    fish: Fish = LOOK_FISH,
    seed: Seed = None,
) -> JSONResponse:
    """Forecast the followed course, water only and no treatment under the same luck.

    ``hold`` names sampled values that are held one after another, as ``sweep`` does.
    """
    asked = ForecastRequest(organism, seed, runs, against, tuple(hold), fish)
    path = find_case(request, case)

    def work(tell: Progress) -> Content:
        foretold = forecast_by_cause(path, asked, progress=tell)
        return care_json(foretold) if isinstance(foretold, CareAnswer) else forecast_json(foretold)

    return _answer(request, case, f"forecast {asked}", work)


@router.get("/follow", responses={**answered("follow", "care"), **still_working()})
def follow_up(
    request: Request,
    case: CaseName,
    on: Day = None,
    organism: Organism = None,
    seed: Seed = None,
) -> JSONResponse:
    """Compare the counts with the course; stopping is never advised, it may be discussed."""
    asked = FollowRequest(on, organism, seed)
    path = find_case(request, case)

    def work(tell: Progress) -> Content:
        followed = follow_by_cause(path, asked, progress=tell)
        return care_json(followed) if isinstance(followed, CareAnswer) else follow_json(followed)

    return _answer(request, case, f"follow {asked}", work)


def _answer(
    request: Request, case: str, what: str, work: Callable[[Progress], Content]
) -> JSONResponse:
    """Return the answer if it is there, else how far it has come; a refusal is an answer too."""
    digest = read_case(find_case(request, case)).digest
    worker: Worker = request.app.state.worker

    def guarded(job: Job[Content | Mistake]) -> Content | Mistake:
        try:
            return work(job.tell)
        except Mistake as refused:
            return refused

    job: Job[Any] = worker.job(f"{digest} api {what}", guarded)
    done: Content | Mistake | None = job.result
    if done is None:
        so_far = {"state": job.state, "what": job.what, "done": job.done, "total": job.total}
        return say(so_far, WAITING)
    return refuse(done) if isinstance(done, Mistake) else say(done)
