"""Two courses of a comparison laid over each other, day by day."""

from __future__ import annotations

from urllib.parse import urlencode

from fastapi import APIRouter, Request
from starlette.responses import HTMLResponse

from tankside.errors import Mistake
from tankside.present.blocks import Page
from tankside.report.laid_over import LaidPage, laid_page
from tankside.report.page import OpenCase, open_case, strip
from tankside.services.laid_over import lay_over
from tankside.web.contexts import LaidContext, waiting
from tankside.web.pages.build import plan_request, steps_asked
from tankside.web.pages.find import find_case
from tankside.web.pages.progress import work_key
from tankside.web.render import case_base, html
from tankside.web.worker import Job, Worker

router = APIRouter(prefix="/case/{file}/plans/over")
BOTH = Page("plans", "Two courses laid over each other", "Both are being played again.", ())


@router.get("", response_class=HTMLResponse)
def show_laid_over(request: Request, file: str, first: str = "", second: str = "") -> HTMLResponse:
    """Show two courses over each other, or how far their playing has come."""
    case = open_case(find_case(request, file))
    asked, job = _job(request, case, first, second)
    result = job.result
    if isinstance(result, Mistake):
        raise result
    page = BOTH if result is None else result.page
    waits = waiting("over", job if result is None else None, asked)
    steps = urlencode(steps_asked(request))
    back = f"{case_base(file)}/plans{'?' if steps else ''}{steps}"
    context = LaidContext("plans", case_base(file), strip(case), page, False, waits, result, back)
    return html(request, context)


def _job(
    request: Request, case: OpenCase, first: str, second: str
) -> tuple[str, Job[LaidPage | Mistake]]:
    steps = steps_asked(request)
    asked = urlencode([("first", first), ("second", second), *steps])

    def work(job: Job[LaidPage | Mistake]) -> LaidPage | Mistake:
        try:
            reference = case.stored.reference
            laid = lay_over(reference, (first, second), plan_request(steps), job.tell)
            return laid_page(laid)
        except Mistake as refused:
            return refused

    worker: Worker = request.app.state.worker
    return asked, worker.job(work_key(case.stored.digest, "over", asked), work)
