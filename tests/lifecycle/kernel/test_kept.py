"""Compiled code on disk is a help, never a must: whatever is wrong with it, it is made anew.

A small function stands for the loop: it goes through the same steps and is kept the same way.
"""

from __future__ import annotations

import errno
import hashlib
import os
import pickle
import random
import shutil
import signal
import stat
from collections.abc import Callable, Iterator
from pathlib import Path

import numba
import numpy as np
import pytest
from numba import types
from numba.core.codegen import CPUCodegen
from numba.core.event import install_recorder

from tankside.lifecycle.kernel import kept
from tankside.lifecycle.kernel.compiled import door, ready
from tankside.sealed import sealed as seal

OTHER_CPU = ("any", "other", "+none")
KINDS = (types.float64[::1], types.float64)
STAMP = 7


def fresh() -> object:
    """Return the function as a process that has just begun has it: not compiled."""

    @door
    def tenfold(out: np.ndarray, x: float) -> None:
        out[0] = 10.0 * x

    return tenfold


def use() -> tuple[bool, str]:
    """Get the code, run it, and tell whether it was compiled and why it could not be kept."""
    with install_recorder("numba:compile") as heard:
        made = ready(fresh(), KINDS, STAMP)
    out = np.zeros(1)
    made.call(out, 4.2)
    assert out[0] == 42.0
    return bool(heard.buffer), made.not_kept


@pytest.fixture(scope="module")
def whole(tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """Return a kept file as it should be."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(numba.config, "CACHE_DIR", str(tmp_path_factory.mktemp("whole")))
        assert use() == (True, "")
        return only_file(Path(kept.folder())).read_bytes()


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, whole: bytes) -> Iterator[Path]:
    """Give a folder in which the code is kept."""
    monkeypatch.setattr(numba.config, "CACHE_DIR", str(tmp_path / "base"))
    place = Path(kept.folder())
    place.mkdir(0o700, parents=True)
    path = Path(kept.path_of(kept.key_of(fresh(), KINDS, STAMP)))
    path.write_bytes(whole)
    path.chmod(0o600)
    yield place
    if place.is_dir() and not place.is_symlink():
        place.chmod(0o700)


def only_file(folder: Path) -> Path:
    (path,) = folder.iterdir()
    return path


def changed(change: Callable[[bytes], bytes]) -> Callable[[Path], None]:
    def damage(folder: Path) -> None:
        path = only_file(folder)
        path.write_bytes(change(path.read_bytes()))

    return damage


def flipped(place: float) -> Callable[[Path], None]:
    def flip(data: bytes) -> bytes:
        spot = int(place * (len(data) - 1))
        return data[:spot] + bytes([data[spot] ^ 1]) + data[spot + 1 :]

    return changed(flip)


def sealed(load: object) -> Callable[[Path], None]:
    """Return what puts something else into the file, under a seal that is right."""

    def damage(folder: Path) -> None:
        data = load if isinstance(load, bytes) else pickle.dumps(load)
        only_file(folder).write_bytes(seal(kept.key_of(fresh(), KINDS, STAMP), data))

    return damage


def of_other(target: object, name: str, value: object) -> Callable[[Path], None]:
    """Return what leaves, under the right name, a file kept for another compiler or processor."""

    def damage(folder: Path) -> None:
        path = only_file(folder)
        data = path.read_bytes()[hashlib.sha256().digest_size :]
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(target, name, value)
            path.write_bytes(seal(kept.key_of(fresh(), KINDS, STAMP), data))

    return damage


def as_link_to_itself(path: Path) -> None:
    path.symlink_to(path)


def emptied(folder: Path) -> Path:
    only_file(folder).unlink()
    folder.rmdir()
    return folder


def put_in_place(make: Callable[[Path], object]) -> Callable[[Path], None]:
    def damage(folder: Path) -> None:
        path = only_file(folder)
        path.unlink()
        make(path)

    return damage


DAMAGED: dict[str, Callable[[Path], object]] = {
    "empty": changed(lambda data: b""),
    "cut in half": changed(lambda data: data[: len(data) // 2]),
    "cut by one byte": changed(lambda data: data[:-1]),
    "one byte too many": changed(lambda data: data + b"x"),
    "random bytes": changed(lambda data: random.Random(1).randbytes(len(data))),
    "zeros": changed(lambda data: bytes(len(data))),
    "first byte flipped": flipped(0.0),
    "a byte of the code flipped": flipped(0.5),
    "no pickle": sealed(b"nothing that was ever pickled"),
    "pickle of something else": sealed({"some": "thing"}),
    "pickle too short": sealed((1, 2, 3)),
    "pickle of a class that is gone": sealed(b"cno.such.module\nThing\n."),
    "another version of the compiler": of_other(numba, "__version__", "0.1.0"),
    "another processor": of_other(
        CPUCodegen, "magic_tuple", lambda self: ("any", "other", "+none")
    ),
    "file is a folder": put_in_place(Path.mkdir),
    "file is a link to itself": put_in_place(as_link_to_itself),
    "file is a pipe": put_in_place(os.mkfifo),
    "file gone": lambda folder: only_file(folder).unlink(),
    "folder gone": emptied,
    "folder is a file": lambda folder: emptied(folder).write_bytes(b"x"),
    "folder is a link to itself": lambda folder: as_link_to_itself(emptied(folder)),
    "file that others may write": lambda folder: only_file(folder).chmod(0o666),
    "folder that others may write": lambda folder: folder.chmod(0o777),
}
FIXED_BY_HAND = {"file is a folder", "folder is a file", "folder is a link to itself"}


def test_what_was_kept_is_fetched(folder: Path) -> None:
    assert use() == (False, "")


@pytest.mark.parametrize("damage", DAMAGED)
def test_damage_is_noticed_and_the_code_is_made_anew(damage: str, folder: Path) -> None:
    DAMAGED[damage](folder)
    compiled, not_kept = use()
    assert compiled
    assert bool(not_kept) == (damage in FIXED_BY_HAND), not_kept
    assert use()[0] == (damage in FIXED_BY_HAND), "the new code is kept in place of the damage"


def refusing(code: int) -> Callable[..., object]:
    def refuse(*_: object, **__: object) -> object:
        raise OSError(code, os.strerror(code))

    return refuse


@pytest.mark.parametrize("code", [errno.EACCES, errno.EIO], ids=os.strerror)
def test_what_may_not_be_read_is_made_anew(
    folder: Path, monkeypatch: pytest.MonkeyPatch, code: int
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(os, "open", refusing(code))
        assert use() == (True, os.strerror(code))


@pytest.mark.parametrize(
    ("call", "code"),
    [("makedirs", errno.EROFS), ("makedirs", errno.ENOSPC), ("open", errno.EACCES),
     ("replace", errno.ENOSPC), ("replace", errno.EACCES)],
)  # fmt: skip
def test_what_may_not_be_written_is_used_all_the_same_and_said(
    folder: Path, monkeypatch: pytest.MonkeyPatch, call: str, code: int
) -> None:
    only_file(folder).unlink()
    with monkeypatch.context() as patch:
        patch.setattr(os, call, refusing(code))
        assert use() == (True, os.strerror(code))
    assert list(folder.iterdir()) == [], "nothing is left half written"
    assert use() == (True, "")


def test_a_disk_that_fills_up_while_writing_leaves_nothing(folder: Path) -> None:
    resource = pytest.importorskip("resource", reason="a limit of file size stands for a full disk")
    only_file(folder).unlink()
    old = resource.getrlimit(resource.RLIMIT_FSIZE)
    ignored = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, old[1]))
    try:
        compiled, not_kept = use()
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, old)
        signal.signal(signal.SIGXFSZ, ignored)
    assert compiled
    assert not_kept == os.strerror(errno.EFBIG)
    assert list(folder.iterdir()) == []


def test_only_the_owner_may_read_or_write_what_is_kept(folder: Path) -> None:
    shutil.rmtree(folder)
    use()
    assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert stat.S_IMODE(only_file(folder).stat().st_mode) == 0o600


@pytest.mark.parametrize("foreign", ["file", "folder"])
def test_code_of_another_account_is_not_run(
    folder: Path, foreign: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    real: Callable[..., os.stat_result] = os.fstat if foreign == "file" else os.stat
    name = "fstat" if foreign == "file" else "stat"

    def of_another(*words: object, **more: object) -> os.stat_result:
        fields = list(real(*words, **more))
        fields[stat.ST_UID] += 1
        return os.stat_result(fields)

    with monkeypatch.context() as patch:
        patch.setattr(os, name, of_another)
        compiled, not_kept = use()
    assert compiled
    assert not_kept == ("" if foreign == "file" else "the folder belongs to somebody else")


@pytest.mark.parametrize("loose", ["file", "folder"])
def test_code_planted_by_others_never_runs(
    folder: Path, loose: str, capsys: pytest.CaptureFixture[str]
) -> None:
    plant = sealed(b"cbuiltins\nprint\n(S'planted'\ntR.")
    plant(folder)
    use()
    assert capsys.readouterr().out == "planted\n", "it would run where nobody else may write"
    plant(folder)
    (only_file(folder) if loose == "file" else folder).chmod(0o777)
    assert use() == (True, "")
    assert capsys.readouterr().out == ""


def test_what_was_kept_longest_ago_for_something_else_is_dropped(folder: Path) -> None:
    new = only_file(folder)
    new.unlink()
    for age in range(12):
        old = folder / f"{age}.code"
        old.write_bytes(b"old")
        os.utime(old, (age, age))
    use()
    names = {path.name for path in folder.iterdir()}
    assert names == {new.name} | {f"{age}.code" for age in range(5, 12)}


def test_another_source_another_file() -> None:
    assert len({kept.key_of(fresh(), KINDS, stamp) for stamp in range(3)}) == 3
