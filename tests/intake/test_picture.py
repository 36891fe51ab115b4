"""What is no picture is refused at once; of what is one, only what can be seen is kept."""

from __future__ import annotations

import io
import sys
import time
import zlib

import pytest
from PIL import Image
from tests.hostile_pictures import (
    HOSTILE,
    PLANTED,
    SECRET,
    hostile,
    jpeg,
    long_gif,
    telling_jpeg,
    telling_png,
    text_bomb,
)

from tankside.errors import BadInput
from tankside.intake.picture import LARGEST_KEPT_BYTES, LONGEST_SIDE_PX, upright_jpeg


def test_at_least_25_are_held_ready() -> None:
    assert len(HOSTILE) >= 25


def test_the_two_that_are_put_together_by_hand_are_what_they_say() -> None:
    with Image.open(io.BytesIO(long_gif(300))) as picture:
        assert getattr(picture, "n_frames", 1) == 300
    at = (bomb := text_bomb()).index(b"zTXt") + len(b"zTXtx\0\0")
    length = int.from_bytes(bomb[33:37], "big") - len(b"x\0\0")
    unpacked, unpacker = 0, zlib.decompressobj()
    rest = bomb[at : at + length]
    while not unpacker.eof:  # in pieces: it is a bomb
        unpacked += len(unpacker.decompress(rest, 10_000_000))
        rest = unpacker.unconsumed_tail
    assert unpacked == 300_000_000


@pytest.mark.parametrize("what", HOSTILE)
def test_what_is_no_picture_is_refused(what: str) -> None:
    name, data = hostile(what)
    with pytest.raises(BadInput, match=r"E-FILE-0[12]") as refused:
        upright_jpeg(data, name)
    assert refused.value.field == "file"
    assert len(str(refused.value)) < 1000


@pytest.mark.skipif(sys.platform != "linux", reason="reads the peak from the kernel's account")
def test_no_hostile_file_takes_much_memory() -> None:
    import resource

    for name, data in map(hostile, HOSTILE):
        before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
        began = time.process_time()
        with pytest.raises(BadInput):
            upright_jpeg(data, name)
        assert resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before < 300_000, name
        assert time.process_time() - began < 5, name


@pytest.mark.parametrize(("name", "data"), [("a.jpg", telling_jpeg()), ("a.png", telling_png())])
def test_nothing_but_the_picture_is_kept(name: str, data: bytes) -> None:
    assert SECRET in data
    kept = upright_jpeg(data, name)
    assert SECRET not in kept
    with Image.open(io.BytesIO(kept)) as picture:
        assert picture.format == "JPEG"
        assert not picture.getexif()
        assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_the_planted_words_stand_in_what_is_sent() -> None:
    """So that their absence says something: all but those that the library does not write."""
    sent = telling_jpeg() + telling_png()
    assert [word for word in PLANTED if word.encode() not in sent] == []


def test_a_picture_on_its_side_is_turned_upright() -> None:
    """TIFF 6.0 (1992), p. 36: orientation 6, the first row is the right-hand side."""
    exif = Image.Exif()
    exif[0x0112] = 6
    sent = io.BytesIO()
    lying = Image.new("RGB", (200, 100), "white")
    lying.paste((0, 0, 0), (0, 0, 40, 100))  # dark on its left: on top once it is upright
    lying.save(sent, "JPEG", exif=exif)
    with Image.open(io.BytesIO(upright_jpeg(sent.getvalue(), "a.jpg"))) as picture:
        assert picture.size == (100, 200)
        grey = picture.convert("L")
        above, below = (grey.crop((50, y, 51, y + 1)).tobytes()[0] for y in (10, 190))
        assert (above < 40, below > 215) == (True, True)


def test_a_large_picture_is_made_smaller() -> None:
    kept = upright_jpeg(jpeg(6000, 4000), "A.JPEG")
    assert len(kept) <= LARGEST_KEPT_BYTES
    with Image.open(io.BytesIO(kept)) as picture:
        assert picture.size == (LONGEST_SIDE_PX, round(LONGEST_SIDE_PX * 2 / 3))


@pytest.mark.parametrize("mode", ["L", "LA", "P", "RGBA", "I;16", "1", "CMYK"])
def test_every_way_of_writing_pixels_is_read(mode: str) -> None:
    sent = io.BytesIO()
    kind, name = ("JPEG", "a.jpg") if mode == "CMYK" else ("PNG", "a.png")
    Image.new(mode, (30, 20)).save(sent, kind)
    with Image.open(io.BytesIO(upright_jpeg(sent.getvalue(), name))) as picture:
        assert (picture.mode, picture.size) == ("RGB", (30, 20))
