"""A picture that is kept with a case: its bytes, its fingerprint, and what may be kept at all."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass, field

from tankside.errors import BadInput

LARGEST_PHOTO_BYTES = 10_000_000
LONGEST_SHOWN = 80
_BEGINNINGS = (
    (b"\xff\xd8\xff", ".jpg"),
    (b"\x89PNG\r\n\x1a\n", ".png"),
)
_RIFF, _WEBP, _WEBP_AT = b"RIFF", b"WEBP", 8


@dataclass(frozen=True, slots=True)
class KeptPhoto:
    """A picture with the fingerprint under which it is kept.

    Args:
        sha256: of the bytes.
        ending: of a file of this kind of picture, ``.jpg``, ``.png`` or ``.webp``.
        data: the bytes.
    """

    sha256: str
    ending: str
    data: bytes = field(repr=False)

    @property
    def file_name(self) -> str:
        """The name of a file that holds it."""
        return self.sha256 + self.ending


def kept_photo(data: bytes, name: str) -> KeptPhoto:
    """Return a picture that may be kept.

    Args:
        data: the bytes of the file.
        name: what it is called, for what is said of it.

    Raises:
        BadInput: E-FILE-01 it is too large, E-FILE-02 it is no JPEG, PNG or WebP picture.
    """
    if len(data) > LARGEST_PHOTO_BYTES:
        raise BadInput(
            "E-FILE-01",
            "This picture is too large to be kept.",
            given=f"{name[:LONGEST_SHOWN]}: {len(data)} bytes",
            needed=f"at most {LARGEST_PHOTO_BYTES} bytes",
            next_step="Make it smaller, then attach it again; nothing was saved.",
            field="file",
        )
    ending = ending_of(data)
    if not ending:
        raise BadInput(
            "E-FILE-02",
            "This is no picture that can be kept.",
            given=name[:LONGEST_SHOWN],
            needed="a JPEG, PNG or WebP picture",
            next_step="Save it as one of these, then attach it again; nothing was saved.",
            field="file",
        )
    return KeptPhoto(fingerprint_of(data), ending, data)


def ending_of(data: bytes) -> str:
    """Return the ending of a picture by how its bytes begin; "" for what is none."""
    if data[: len(_RIFF)] == _RIFF and data[_WEBP_AT : _WEBP_AT + len(_WEBP)] == _WEBP:
        return ".webp"
    return next((ending for begins, ending in _BEGINNINGS if data.startswith(begins)), "")


def fingerprint_of(data: bytes) -> str:
    """Return the SHA-256 under which the bytes of a picture are kept."""
    return hashlib.sha256(data).hexdigest()
