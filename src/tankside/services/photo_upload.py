"""Take in a picture as it comes from a phone: stripped and made smaller before it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path, PurePath

from tankside.case.typed_value import Typed
from tankside.errors import BadInput
from tankside.intake.picture import LARGEST_FILE_BYTES, upright_jpeg
from tankside.services.case_photos import attach_photo
from tankside.services.saving import JUST_SENT, Added, Sent

ENDING = ".jpg"


def upload_photo(
    path: str | Path,
    data: bytes,
    words: Sequence[Typed] = (),
    *,
    file: str,
    by: str,
    sent: Sent = JUST_SENT,
) -> Added:
    """Strip a picture, keep it with a case and add the entry that says so; all or nothing.

    Args:
        path: the case.
        data: the bytes of the picture as they were sent.
        words: what else is typed of it: ``of``, ``note``, ``on``.
        file: what it is called; only the last part of a path is kept, ending in ``.jpg``.
        by: who writes.
        sent: how it was sent.

    Raises:
        BadInput: E-FILE-01 too large, E-FILE-02 no picture, E-PATH-01 a name that cannot be kept.
        CouldNotSave: E-WEB-04, E-DB-02 to E-DB-04; nothing was saved.
    """
    kept = upright_jpeg(data, file)
    name = PurePath(file.replace("\\", "/"))
    return attach_photo(path, kept, words, file=name.stem + ENDING, by=by, sent=sent)


def upload_file(
    path: str | Path, source: str | Path, words: Sequence[Typed], *, by: str, sent: Sent = JUST_SENT
) -> Added:
    """Keep a picture that is a file of this computer; see ``upload_photo``.

    Raises:
        BadInput: E-PATH-02 when there is no such file.
    """
    file = Path(source)
    if not file.is_file():
        raise BadInput(
            "E-PATH-02",
            "There is no such file.",
            given=file,
            needed="a picture that exists",
            next_step="Check the name; nothing was saved.",
            field="picture",
        )
    with file.open("rb") as handle:
        data = handle.read(LARGEST_FILE_BYTES + 1)
    return upload_photo(path, data, words, file=file.name, by=by, sent=sent)
