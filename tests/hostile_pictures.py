"""Files that must not be kept as a picture, and a picture that tells more than it shows.

After the classes of OWASP's cheat sheet on file upload and ASVS 4.0.3, 12.1-12.5: too large, too
many pixels, another kind, called otherwise, broken, moving, nested, empty. All are made here.
"""

from __future__ import annotations

import io
import random
import struct
import zipfile
import zlib
from collections.abc import Callable, Mapping
from functools import cache

from PIL import Image
from PIL.PngImagePlugin import PngInfo

GPS, MAKER, SECRET = 0x8825, 0x010F, b"planted-"
PLANTED = tuple(
    f"planted-{word}"
    for word in (
        "maker", "model", "owner", "serial", "comment", "place", "xmp", "icc", "tail", "thumb",
    )
)  # fmt: skip


def jpeg(width: int = 64, height: int = 48, **options: object) -> bytes:
    written = io.BytesIO()
    chance = random.Random(width * height)
    colours = bytes(chance.randrange(256) for _ in range(3 * 16 * 16))
    small = Image.frombytes("RGB", (16, 16), colours)
    small.resize((width, height)).save(written, "JPEG", **options)
    return written.getvalue()


def as_kind(kind: str, mode: str = "RGB", **options: object) -> bytes:
    written = io.BytesIO()
    Image.new(mode, (40, 30)).save(written, kind, **options)
    return written.getvalue()


def png_of(width: int, height: int, body: bytes = b"") -> bytes:
    """A PNG whose header says any size."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        )

    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 8, 2, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(body)) + chunk(b"IEND", b"")


def text_bomb() -> bytes:
    """A PNG with a comment that unpacks to 300 MB."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        )

    packer = zlib.compressobj(9, zlib.DEFLATED, -zlib.MAX_WBITS)
    block = packer.compress(bytes(1_000_000)) + packer.flush(zlib.Z_FULL_FLUSH)
    last = packer.flush()  # blocks stand alone, so that one may stand 300 times
    check = (300_000_000 % 65_521) << 16 | 1  # Adler-32 of zeros, RFC 1950, 8.2
    packed = b"\x78\xda" + 300 * block + last + struct.pack(">I", check)
    whole = png_of(4, 4, bytes(4 * 13))
    return whole[:33] + chunk(b"zTXt", b"x\0\0" + packed) + whole[33:]


def zipped() -> bytes:
    written = io.BytesIO()
    with zipfile.ZipFile(written, "w") as archive:
        archive.writestr("../../slip.jpg", b"x")
    return written.getvalue()


def moving(kind: str, frames: int = 3) -> bytes:
    written = io.BytesIO()
    first, *rest = [Image.new("RGB", (8, 8), (n * 80 % 255, 0, 0)) for n in range(frames)]
    first.save(written, kind, save_all=True, append_images=rest)
    return written.getvalue()


def long_gif(frames: int) -> bytes:
    """A GIF with its last picture again and again (GIF89a: 21 F9 begins each, 3B ends all)."""
    few = moving("GIF")
    at = few.rindex(b"\x21\xf9\x04")
    return few[:at] + few[at:-1] * (frames - 2) + few[-1:]


HOSTILE: Mapping[str, tuple[str, Callable[[], bytes]]] = {
    "nothing in it": ("a.jpg", lambda: b""),
    "50,000 by 50,000 pixels": ("a.png", lambda: png_of(50_000, 50_000)),
    "41 million pixels": ("a.png", lambda: png_of(6_403, 6_404)),
    "a size beyond all sense": ("a.png", lambda: png_of(2**31 - 1, 2**31 - 1)),
    "no size": ("a.png", lambda: png_of(0, 0)),
    "a comment of 300 MB": ("a.png", text_bomb),
    "more than 15 MB": ("a.jpg", lambda: jpeg() + bytes(15_000_001)),
    "cut short": ("a.jpg", lambda: jpeg(400, 300)[:2000]),
    "only its beginning": ("a.jpg", lambda: b"\xff\xd8\xff"),
    "a PNG cut short": ("a.png", lambda: as_kind("PNG")[:60]),
    "pixels that do not fill it": ("a.png", lambda: png_of(400, 400, b"short")),
    "a page behind the first letters": ("a.jpg", lambda: b"\xff\xd8\xff<script>alert(1)</script>"),
    "called a page": ("a.html", jpeg),
    "called a picture of another kind": ("a.png", jpeg),
    "called a program": ("a.jpg.exe", jpeg),
    "without an ending": ("picture", jpeg),
    "SVG": ("a.svg", lambda: b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>"),
    "SVG called JPEG": ("a.jpg", lambda: b"<svg xmlns='http://www.w3.org/2000/svg'/>"),
    "EPS": ("a.eps", lambda: b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\nshowpage\n"),
    "EPS called JPEG": ("a.jpg", lambda: b"%!PS-Adobe-3.0 EPSF-3.0\n%%BoundingBox: 0 0 9 9\n"),
    "TIFF": ("a.tiff", lambda: as_kind("TIFF")),
    "TIFF called JPEG": ("a.jpg", lambda: as_kind("TIFF")),
    "GIF of 10,000 frames": ("a.gif", lambda: long_gif(10_000)),
    "BMP called PNG": ("a.png", lambda: as_kind("BMP")),
    "a PNG that moves": ("a.png", lambda: moving("PNG")),
    "a WebP that moves": ("a.webp", lambda: moving("WEBP")),
    "a zip with a path that climbs": ("a.zip", zipped),
    "a zip called JPEG": ("a.jpg", zipped),
    "a PDF": ("a.jpg", lambda: b"%PDF-1.7\n1 0 obj<</JS(app.alert(1))>>endobj"),
    "noise": ("a.webp", lambda: random.Random(1).randbytes(5000)),
}  # fmt: skip
"""What is sent by what is wrong with it: the name of the file, and what makes its bytes."""


@cache
def hostile(what: str) -> tuple[str, bytes]:
    """Return name and bytes of one that is sent; each is made once, by the test that needs it."""
    name, made = HOSTILE[what]
    return name, made()


def telling_jpeg() -> bytes:
    """A JPEG on its side, with planted words wherever a phone could write some."""
    exif = Image.Exif()
    exif[MAKER], exif[0x0110], exif[0x0112] = PLANTED[0], PLANTED[1], 6
    exif[0xA430], exif[0xA431], exif[0x9286] = PLANTED[2], PLANTED[3], PLANTED[4]
    exif.get_ifd(GPS)[29] = PLANTED[5]
    exif.get_ifd(0x8769)[0x9286] = PLANTED[4]
    bare = jpeg(400, 200, exif=exif.tobytes() + b"planted-thumb", comment=b"planted-comment")

    def segment(marker: int, data: bytes) -> bytes:
        return bytes((0xFF, marker)) + struct.pack(">H", len(data) + 2) + data

    xmp = segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0<x>planted-xmp</x>")
    icc = segment(0xE2, b"ICC_PROFILE\0\1\1planted-icc" + bytes(200))
    return bare[:2] + xmp + icc + bare[2:] + b"planted-tail" * 3


def telling_png() -> bytes:
    said = PngInfo()
    said.add_text("Comment", "planted-comment")
    said.add_itxt("XML:com.adobe.xmp", "planted-xmp", zip=False)
    return as_kind("PNG", "RGBA", pnginfo=said, icc_profile=b"planted-icc") + b"planted-tail"
