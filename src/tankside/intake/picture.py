"""A picture as it may be kept: turned upright, made smaller, and nothing in it but what it shows.

Phones write into a picture where, when and with which device it was taken, and a small copy of it
as it was before it was cut. None of that is kept: the picture is decoded and written anew, so that
only what can be seen goes on. Colours are read as sRGB.
"""

from __future__ import annotations

import io
import warnings
from pathlib import PurePath

from PIL import Image, ImageOps

from tankside.errors import BadInput

LARGEST_FILE_BYTES = 15_000_000
MOST_PIXELS = 40_000_000
LONGEST_SIDE_PX = 2048
LARGEST_KEPT_BYTES = 2_000_000
QUALITIES = (88, 78, 65, 50)
"""Steps of JPEG quality, tried until the picture is small enough."""
KINDS = {
    "JPEG": (".jpg", ".jpeg"),
    "MPO": (".jpg", ".jpeg"),
    "PNG": (".png",),
    "WEBP": (".webp",),
}
"""What is read, and how a file of it ends. A phone's JPEG with a second picture behind it is MPO;
only the first is taken."""
STILL = ("PNG", "WEBP")
LONGEST_SHOWN = 80


def upright_jpeg(data: bytes, name: str) -> bytes:
    """Return a picture as a JPEG without anything that cannot be seen in it.

    Args:
        data: the bytes of a JPEG, PNG or WebP file.
        name: what the file is called.

    Returns:
        A JPEG of at most 2048 pixels a side and 2 MB.

    Raises:
        BadInput: E-FILE-01 the file or the picture is too large; E-FILE-02 it is no picture of
            these kinds, is not called so, is broken or moves.
    """
    if len(data) > LARGEST_FILE_BYTES:
        raise _too_large(name, f"{len(data)} bytes", f"at most {LARGEST_FILE_BYTES} bytes")
    try:
        with warnings.catch_warnings():
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            return _written_anew(data, name)
    except (Image.DecompressionBombError, Image.DecompressionBombWarning):
        raise _too_many_pixels(name, "far too many pixels") from None
    except BadInput:
        raise
    except Exception as why:  # whatever the decoder trips over was sent, and is refused as such
        raise _no_picture(name, str(why)[:LONGEST_SHOWN] or type(why).__name__) from None


def _written_anew(data: bytes, name: str) -> bytes:
    with Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "WEBP")) as opened:
        kind = opened.format or ""
        if PurePath(name).suffix.lower() not in KINDS.get(kind, ()):
            raise _no_picture(name, f"holds {kind}")
        width, height = opened.size
        if width * height > MOST_PIXELS:
            raise _too_many_pixels(name, f"{width} x {height} pixels")
        if kind in STILL and getattr(opened, "n_frames", 1) > 1:
            raise _no_picture(name, "it moves")
        opened.draft("RGB", (LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        opened.load()
        small = opened if opened.mode in ("RGB", "RGBA", "L") else opened.convert("RGBA")
        small.thumbnail((LONGEST_SIDE_PX, LONGEST_SIDE_PX))
        return _encoded(_on_white(ImageOps.exif_transpose(small)))


def _on_white(picture: Image.Image) -> Image.Image:
    """Return a picture without gaps that one could see through, and without what comes with it."""
    plain = Image.new("RGB", picture.size, "white")
    seen_through = picture.getchannel("A") if picture.mode == "RGBA" else None
    plain.paste(picture, mask=seen_through)
    return plain


def _encoded(plain: Image.Image) -> bytes:
    for quality in QUALITIES:
        written = io.BytesIO()
        plain.save(written, "JPEG", quality=quality)
        if written.tell() <= LARGEST_KEPT_BYTES:
            break
    return written.getvalue()


def _too_many_pixels(name: str, sent: str) -> BadInput:
    return _too_large(name, sent, f"at most {MOST_PIXELS // 1_000_000} million pixels")


def _too_large(name: str, sent: str, needed: str) -> BadInput:
    return BadInput(
        "E-FILE-01",
        "This picture is too large.",
        given=f"{name[:LONGEST_SHOWN]}: {sent}",
        needed=needed,
        next_step="Make it smaller, then attach it again; nothing was saved.",
        field="file",
    )


def _no_picture(name: str, sent: str) -> BadInput:
    return BadInput(
        "E-FILE-02",
        "This is no picture that can be kept.",
        given=f"{name[:LONGEST_SHOWN]}: {sent}",
        needed="one still picture, JPEG, PNG or WebP, in a file that is called so",
        next_step="Choose another file, or save it as JPEG; nothing was saved.",
        field="file",
    )
