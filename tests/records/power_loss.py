"""What a disk may hold after a loss of power, worked out from the calls that ``strace`` saw.

Writes are pending until their file is synced; names (made, given, removed) until the folder is. A
state after a loss holds all that was synced and any part of what was pending, in order of each
file. A page is written whole or not at all: torn pages are not simulated.
"""

from __future__ import annotations

import random
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

CALLS = "pwrite64,write,fsync,fdatasync,ftruncate,unlink,unlinkat,rename,renameat,renameat2,openat"
TRACE = ["strace", "-f", "-y", "-xx", "-s", "4000000", "-e", f"trace={CALLS}"]
ACK = b"ACK "
_LINE = re.compile(r"^(?:\d+ +)?(\w+)\((.*)\) += (-?\d+)(.*)$", re.DOTALL)
_TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')
_FILE = re.compile(r"^(?:\d+|AT_FDCWD)<((?:\\x[0-9a-f]{2}|[^>])*)>")


@dataclass(frozen=True)
class Step:
    """One change: a write, a length, a sync, a name that was made, given or removed, or an ack."""

    kind: str
    path: str
    other: str = ""
    data: bytes = b""
    at: int = 0


def steps_of(trace: Path, folder: Path) -> Iterator[Step]:
    """Yield what a trace says of the files of a folder, and each acknowledgement."""
    for line in joined(trace.read_text(encoding="utf-8", errors="replace")):
        match = _LINE.match(line)
        if not match or int(match[3]) < 0:
            continue
        step = _step(match[1], match[2], int(match[3]), match[4])
        if step and (step.kind == "ack" or Path(step.path).is_relative_to(folder)):
            yield step


def joined(text: str) -> Iterator[str]:
    """Yield the calls; one that another process interrupted is put together again."""
    begun: dict[str, str] = {}
    for line in text.splitlines():
        process = line.split(" ", 1)[0]
        if line.endswith("<unfinished ...>"):
            begun[process] = line.removesuffix("<unfinished ...>").rstrip()
        elif " resumed>" in line:
            yield begun.pop(process, "") + line.partition(" resumed>")[2]
        else:
            yield line


def _step(call: str, words: str, result: int, after: str) -> Step | None:
    texts = [bytes.fromhex(text.replace("\\x", "")) for text in _TEXT.findall(words)]
    named = _FILE.match(words)
    path = _plain(named[1]) if named else ""
    if call == "write" and texts and texts[0].startswith(ACK):
        return Step("ack", "", data=texts[0])
    if call in ("write", "pwrite64"):
        at = int(words.rsplit(",", 1)[1]) if call == "pwrite64" else -1
        return Step("write", path, data=texts[0] if texts else b"", at=at)
    if call in ("fsync", "fdatasync"):
        return Step("sync", path)
    if call == "ftruncate":
        return Step("length", path, at=int(words.rsplit(",", 1)[1]))
    if call == "openat":
        opened = re.search(r"<((?:\\x[0-9a-f]{2}|[^>])*)>", after)
        made = "O_CREAT" in words or "O_TRUNC" in words
        kind = "empty" if "O_TRUNC" in words else "make"
        return Step(kind, _plain(opened[1])) if opened and made else None
    names = [text.decode() for text in texts]
    if call.startswith("unlink"):
        return Step("remove", names[-1])
    return Step("rename", names[0], other=names[1])


def _plain(text: str) -> str:
    return bytes.fromhex(text.replace("\\x", "")).decode() if text.startswith("\\x") else text


@dataclass
class Disk:
    """Files by path as they are on the disk, and what waits for a sync."""

    files: dict[str, bytearray] = field(default_factory=dict)
    pending: list[Step] = field(default_factory=list)
    places: dict[str, int] = field(default_factory=dict)

    def take(self, step: Step) -> None:
        """Note a change, or carry out what a sync makes last."""
        if step.kind == "sync":
            self._sync(step.path)
        elif step.kind == "write" and step.at < 0:
            place = self.places.get(step.path, 0)
            self.places[step.path] = place + len(step.data)
            self.pending.append(Step("write", step.path, data=step.data, at=place))
        else:
            if step.kind == "empty":
                self.places[step.path] = 0
            self.pending.append(step)

    def _sync(self, path: str) -> None:
        """Make content and own name of a file last; of a folder, the names in it."""
        kept = []
        for step in self.pending:
            names = step.kind in ("make", "remove", "rename")
            in_folder = str(Path(step.path).parent) == path
            if (step.path == path and step.kind != "remove") or (names and in_folder):
                apply(self.files, step)
            else:
                kept.append(step)
        self.pending = kept

    def after_loss(self, chance: random.Random) -> dict[str, bytes]:
        """Return the files after a loss of power: a random part of what was pending is there."""
        files = {path: bytearray(data) for path, data in self.files.items()}
        for step in self.pending:
            if chance.random() < 0.5:
                apply(files, step)
        return {path: bytes(data) for path, data in files.items()}


def apply(files: dict[str, bytearray], step: Step) -> None:
    """Carry out one change."""
    if step.kind == "rename":
        if step.path in files:
            files[step.other] = files.pop(step.path)
        return
    if step.kind == "remove":
        files.pop(step.path, None)
        return
    data = files.setdefault(step.path, bytearray())
    if step.kind == "empty":
        del data[:]
    elif step.kind == "length":
        del data[step.at :]
        data.extend(bytes(step.at - len(data)))
    elif step.kind == "write":
        data.extend(bytes(max(step.at + len(step.data) - len(data), 0)))
        data[step.at : step.at + len(step.data)] = step.data
