"""How far a long piece of work has come, as it comes; stop it, or start it again."""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator
from typing import Any

from fastapi import APIRouter, Request
from starlette.exceptions import HTTPException
from starlette.responses import RedirectResponse, StreamingResponse

from tankside.report.page import open_case
from tankside.web.pages.enter import SEE_OTHER
from tankside.web.pages.find import find_case
from tankside.web.render import case_base
from tankside.web.worker import Job, JobState

router = APIRouter(prefix="/case/{file}/progress/{what}")
LONG = {"plans": "plans", "forecast": "forecast", "follow": "follow", "over": "plans/over"}
"""Pages whose answers are worked out apart, and their addresses."""
EVERY_S, LONGEST_S = 0.2, 120


def work_key(state: str, what: str, asked: str = "") -> str:
    """Return the name under which the work for a page is kept.

    Args:
        state: digest of the case file.
        what: the page.
        asked: what stands behind its address, "" for nothing.
    """
    return f"{state} {what} {asked}"


@router.get("")
def show_progress(request: Request, file: str, what: str) -> StreamingResponse:
    """Stream how far the work of a page has come, until it is done or stopped."""
    job = request.app.state.worker.started(_key(request, file, what))
    return StreamingResponse(_events(request, job), media_type="text/event-stream")


@router.post("/cancel")
def cancel(request: Request, file: str, what: str) -> RedirectResponse:
    """Stop the work of a page."""
    job = request.app.state.worker.started(_key(request, file, what))
    if job is not None:
        job.cancel()
    return RedirectResponse(_page(request, file, what), SEE_OTHER)


@router.post("/again")
def again(request: Request, file: str, what: str) -> RedirectResponse:
    """Start the work of a page anew, after it was stopped."""
    key = _key(request, file, what)
    job = request.app.state.worker.started(key)
    if job is not None and job.state is JobState.CANCELLED:
        request.app.state.worker.forget(key)
    return RedirectResponse(_page(request, file, what), SEE_OTHER)


def _key(request: Request, file: str, what: str) -> str:
    if what not in LONG:
        raise HTTPException(404)
    state = open_case(find_case(request, file)).stored.digest
    return work_key(state, what, request.url.query)


def _page(request: Request, file: str, what: str) -> str:
    asked = f"?{request.url.query}" if request.url.query else ""
    return f"{case_base(file)}/{LONG[what]}{asked}"


async def _events(request: Request, job: Job[Any] | None) -> AsyncIterator[str]:
    for _ in range(int(LONGEST_S / EVERY_S)):
        yield f"data: {json.dumps(_told(job))}\n\n"
        if job is None or job.state is not JobState.WAITING or await request.is_disconnected():
            return
        await asyncio.sleep(EVERY_S)


def _told(job: Job[Any] | None) -> dict[str, object]:
    if job is None:
        return {"state": JobState.DONE}
    early = job.early is not None
    return {
        "state": job.state,
        "what": job.what,
        "done": job.done,
        "total": job.total,
        "early": early,
    }
