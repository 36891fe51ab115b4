"""The pictures of a case: look at them, attach one."""

from __future__ import annotations

from typing import Annotated

from fastapi import APIRouter, Depends, Request
from starlette.datastructures import UploadFile
from starlette.exceptions import HTTPException
from starlette.responses import HTMLResponse, RedirectResponse, Response

from tankside.errors import BadInput, Mistake
from tankside.quantity.address_number import address_number
from tankside.report.page import open_case, strip
from tankside.report.page_photos import photos_page
from tankside.services.case_photos import photo_of, photos_of
from tankside.services.photo_upload import upload_photo
from tankside.services.saving import Sent
from tankside.web.contexts import PhotosContext
from tankside.web.form_data import Filled, Form
from tankside.web.pages.enter import SEE_OTHER
from tankside.web.pages.find import find_case
from tankside.web.pages.refused import status_of
from tankside.web.render import case_base, html
from tankside.web.sent_forms import number_of

router = APIRouter(prefix="/case/{file}/photos")
FIELD = "picture"
TYPED = ("of", "note")
KINDS = {".jpg": "image/jpeg", ".png": "image/png", ".webp": "image/webp"}


async def sent_picture(request: Request, sent: Form) -> tuple[str, bytes]:
    """Return name and bytes of the file that came with a form; both empty when none did."""
    del sent  # it was read by then, and the file with it
    picture = (await request.form()).get(FIELD)
    if not isinstance(picture, UploadFile):
        return "", b""
    return picture.filename or "", await picture.read()


Picture = Annotated[tuple[str, bytes], Depends(sent_picture)]


@router.get("", response_class=HTMLResponse)
def show_photos(request: Request, file: str) -> HTMLResponse:
    """Show the pictures, and ask for one."""
    return _page(request, file, {})


@router.post("")
def attach(request: Request, file: str, sent: Form, picture: Picture) -> Response:
    """Keep a picture with the case, or say why not; what was typed beside it stands again."""
    path, by = find_case(request, file), request.app.state.by
    name, data = picture

    def save() -> str:
        if not data:
            raise _no_file()
        words = [(key, text.strip()) for key in TYPED for text in sent.get(key, ()) if text.strip()]
        resting = Sent(submission=number_of(sent) or None)
        added = upload_photo(path, data, words, file=name, by=by, sent=resting)
        return f"{case_base(file)}/photos?saved={added.new[0].id}"

    try:
        return RedirectResponse(request.app.state.sent_forms.once(number_of(sent), save), SEE_OTHER)
    except Mistake as mistake:
        return _page(request, file, sent, mistake)


@router.get("/{number}")
def show_photo(request: Request, file: str, number: str) -> Response:
    """Return a picture as it is kept."""
    entry = address_number(number)
    if entry is None:
        raise HTTPException(404)
    kept = photo_of(find_case(request, file), entry)
    return Response(kept.data, media_type=KINDS[kept.ending])


def _page(
    request: Request, file: str, sent: Filled, mistake: Mistake | None = None
) -> HTMLResponse:
    path = find_case(request, file)
    case = open_case(path)
    typed = {name: (sent.get(name) or [""])[0] for name in TYPED}
    page = photos_page(case, photos_of(path))
    context = PhotosContext("photos", case_base(file), strip(case), page, typed, mistake)
    return html(request, context, 200 if mistake is None else status_of(mistake))


def _no_file() -> BadInput:
    return BadInput(
        "E-FILE-02",
        "No picture came with the form.",
        given="no file",
        needed="one still picture, JPEG, PNG or WebP",
        next_step="Choose a file or take a picture; nothing was saved.",
        field="file",
    )
