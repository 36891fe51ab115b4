"""What a browser sent, as plain text by name; files are left to the page that asks for them."""

from __future__ import annotations

from collections.abc import AsyncIterator
from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import FormData, UploadFile

from tankside.errors import BadInput

MOST_FIELDS, LONGEST_TEXT = 600, 20_000
Filled = dict[str, list[str]]


async def filled_in(request: Request) -> AsyncIterator[Filled]:
    """Give the text fields of a form; the files that came with it are closed afterwards.

    Raises:
        BadInput: E-WEB-08 the form cannot be read; E-WEB-09 a text of it is too long.
    """
    try:
        form = await request.form(max_files=4, max_fields=MOST_FIELDS)
    except Exception as why:  # whatever the parser trips over was sent, and is refused as such
        raise BadInput(
            "E-WEB-08",
            "What was sent is not a form of these pages.",
            given=str(getattr(why, "detail", why))[:200],
            needed="a form as this page shows it",
            next_step="Load the page again and fill it in; nothing was saved.",
        ) from None
    try:
        yield _texts_of(form)
    finally:
        await form.close()


def _texts_of(form: FormData) -> Filled:
    filled: Filled = {}
    for name, value in form.multi_items():
        if isinstance(value, UploadFile):
            continue
        if len(value) > LONGEST_TEXT:
            raise BadInput(
                "E-WEB-09",
                "This is more than one form may hold.",
                given=f"{len(value)} letters in one field",
                needed=f"at most {LONGEST_TEXT} letters",
                next_step="Shorten it; nothing was saved.",
            )
        # Browsers send line ends as two characters, whatever was typed.
        filled.setdefault(name, []).append(value.replace("\r\n", "\n"))
    return filled


Form = Annotated[Filled, Depends(filled_in)]
