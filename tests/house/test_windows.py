"""Windows is offered: what it lacks is neither imported nor needed to keep a case.

What Windows lacks stands in Python's own documentation ("Availability: Unix" of fcntl, grp, pwd,
resource, termios, os.fchmod before 3.13, os.O_NOFOLLOW, os.fork and others); recalled.
"""

from __future__ import annotations

import ast
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tankside.cli import account
from tankside.errors import BadInput, CouldNotSave
from tankside.records import whole_file

ROOT = Path(__file__).resolve().parents[2]
POSIX_ONLY = frozenset({
    "crypt", "curses", "fcntl", "grp", "nis", "ossaudiodev", "posix", "pty", "pwd", "readline",
    "resource", "spwd", "syslog", "termios", "tty",
})  # fmt: skip
# As Windows has it: the modules cannot be imported, the calls are missing, no folder is opened.
LIKE_WINDOWS = f"""
import errno, os, sys
import getpass, pathlib, random, shutil, subprocess, tempfile
for name in {sorted(POSIX_ONLY)}:
    sys.modules[name] = None
for name in ("O_NOFOLLOW", "O_DIRECTORY", "fork", "getuid", "geteuid", "getgid"):
    delattr(os, name)
changed = os.fchmod
def fchmod(*words):  # the lock's library still takes this system for what it is
    assert not sys._getframe(1).f_globals["__name__"].startswith("tankside"), "no os.fchmod"
    changed(*words)
os.fchmod = fchmod
os.O_BINARY = 1 << 30
opened = os.open
asked = []
def open_file(path, flags, *rest, **more):
    asked.append((os.fspath(path), flags))
    if os.path.isdir(path) and not flags & getattr(os, "O_TMPFILE", 0):
        raise PermissionError(errno.EACCES, "Permission denied")
    return opened(path, flags & ~os.O_BINARY, *rest, **more)
os.open = open_file
import warnings
warnings.simplefilter("ignore")
from tankside.records import whole_file
whole_file.ON_WINDOWS = True
from tankside.cli.main import app
ended = []
for words in {{commands}}:
    try:
        app(words)
    except SystemExit as end:
        ended.append(end.code)
# What is opened to be read and written is only made or synced by this call.
written = [flags for path, flags in asked if path.endswith(".new") and flags & os.O_WRONLY]
assert written and all(flags & os.O_BINARY for flags in written), asked
print("ENDED", *ended)
"""
OPENING = [
    "case", "new", "elm.jsonl", "--name", "Elm Road", "--keeper", "M. Vell", "--water", "fresh",
    "--zone", "UTC",
]  # fmt: skip
COMMANDS = [
    OPENING,
    ["case", "add", "elm.jsonl", "stock", "name=cardinal tetra", "count=12"],
    ["case", "add", "elm.jsonl", "count", "fish=worst tetra", "spots=9"],
    ["case", "show", "elm.jsonl"],
]
JOURNAL_COMMANDS = [
    ["case", "new", "elm", *OPENING[3:], "--role", "practitioner"],
    ["case", "add", "elm", "stock", "name=cardinal tetra", "count=12"],
    ["case", "add", "1", "death", "1"],
    ["case", "show", "Elm Road"],
    ["records", "list"], ["records", "search", "cardnal"], ["records", "due"],
    ["records", "statistics"], ["records", "people"], ["records", "verify"], ["records", "rebuild"],
    ["records", "backup", "kept.db"], ["records", "restore", "kept.db", "--to", "back.db"],
    ["records", "export", "."], ["records", "export", ".", "--tables"],
    ["records", "import", "entries.csv", "--journal", "other.db"],
    ["records", "verify", "--journal", "other.db"], ["records", "migrate"],
    ["records", "remove-person", "2", "M. Vell"],
]  # fmt: skip
PORT = """
import socket
socket.SO_EXCLUSIVEADDRUSE = socket.SO_KEEPALIVE  # any option that this system has
from tankside.web import server
first = server._listen(0)
print(first.getsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR),
      first.getsockopt(socket.SOL_SOCKET, socket.SO_KEEPALIVE))
"""


def posix_only(source: str) -> list[str]:
    """Name what a module imports that Windows lacks, wherever it stands."""
    modules = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Import):
            modules += [alias.name.partition(".")[0] for alias in node.names]
        elif isinstance(node, ast.ImportFrom) and node.module and not node.level:
            modules.append(node.module.partition(".")[0])
        elif isinstance(node, ast.Constant) and isinstance(node.value, str):
            modules += [name for name in POSIX_ONLY if f"import {name}\n" in node.value]
    return sorted(POSIX_ONLY.intersection(modules))


def test_no_module_imports_what_windows_lacks() -> None:
    places = [ROOT / "dev.py", *(ROOT / "src").rglob("*.py")]
    by_place = {str(p.relative_to(ROOT)): posix_only(p.read_text(encoding="utf-8")) for p in places}
    assert {place: names for place, names in by_place.items() if names} == {}


@pytest.mark.parametrize(
    "planted",
    ["import fcntl", "def f():\n    import resource as r", "from pwd import getpwuid",
     'SCRIPT = "import resource\\n"'],
)  # fmt: skip
def test_a_planted_import_is_found(planted: str) -> None:
    assert len(posix_only(planted)) == 1


def test_a_case_is_kept_without_what_windows_lacks(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """The folders are named: the library that knows them elsewhere asks the real system."""
    script = LIKE_WINDOWS.replace("{commands}", repr(COMMANDS))
    env = {**os.environ, "USERNAME": "vell", "PYTHONPATH": os.pathsep.join(sys.path)}
    env["NUMBA_CACHE_DIR"] = str(tmp_path_factory.mktemp("kept"))
    env["TANKSIDE_PRACTICE"] = ""
    ran = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, env=env, capture_output=True, text=True
    )
    assert ran.returncode == 0, ran.stderr
    assert ran.stdout.splitlines()[-1] == "ENDED 0 0 0 0", ran.stdout + ran.stderr
    assert "12 cardinal tetra" in ran.stdout
    kept = (tmp_path / "elm.jsonl").read_bytes().splitlines()
    assert [json.loads(line).get("kind") for line in kept[1:]] == ["opened", "stock", "count"]
    assert [path.name for path in tmp_path.iterdir()] == ["elm.jsonl"]


def test_a_journal_is_kept_whole_without_what_windows_lacks(
    tmp_path: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """The library that knows the folder of the user's data asks the real system: it is there."""
    script = "import platformdirs\n" + LIKE_WINDOWS.replace("{commands}", repr(JOURNAL_COMMANDS))
    env = {**os.environ, "USERNAME": "vell", "PYTHONPATH": os.pathsep.join(sys.path)}
    env["NUMBA_CACHE_DIR"] = str(tmp_path_factory.mktemp("kept"))
    env["TANKSIDE_JOURNAL"] = str(tmp_path / "journal.db")
    ran = subprocess.run(
        [sys.executable, "-c", script], cwd=tmp_path, env=env, capture_output=True, text=True
    )
    assert ran.returncode == 0, ran.stderr
    ended = "ENDED" + " 0" * len(JOURNAL_COMMANDS)
    assert ran.stdout.splitlines()[-1] == ended, ran.stdout + ran.stderr
    assert ran.stdout.count("hold, each as it was written") == 2
    names = {path.name for path in tmp_path.iterdir()}
    assert {"journal.db", "kept.db", "back.db", "other.db", "elm.jsonl", "entries.csv"} <= names
    assert not [name for name in names if name.endswith((".new", ".lock", "-journal", "-wal"))]


def test_a_port_is_not_shared_where_reuse_would_share_it() -> None:
    """ "Using SO_REUSEADDR and SO_EXCLUSIVEADDRUSE", Windows sockets documentation; recalled."""
    ran = subprocess.run([sys.executable, "-c", PORT], capture_output=True, text=True, check=True)
    assert ran.stdout.split() == ["0", "1"]


def test_a_reader_holds_a_writer_up_for_a_moment_only(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows refuses to replace a file that anybody has open (MoveFileEx; recalled)."""
    monkeypatch.setattr(whole_file, "ON_WINDOWS", True)
    refusals = iter(range(3))
    replace = os.replace

    def busy(*words: Path) -> None:
        if next(refusals, None) is not None:
            raise PermissionError(13, "Access is denied")
        replace(*words)

    monkeypatch.setattr(os, "replace", busy)
    whole_file.write_whole(tmp_path / "card.pdf", b"new")
    assert (tmp_path / "card.pdf").read_bytes() == b"new"
    refusals = iter(range(10_000))
    monkeypatch.setattr(whole_file, "LONGEST_WAIT_S", 0.05)
    with pytest.raises(CouldNotSave, match="E-DB-04"):
        whole_file.write_whole(tmp_path / "card.pdf", b"newer")
    assert (tmp_path / "card.pdf").read_bytes() == b"new"
    assert [path.name for path in tmp_path.iterdir()] == ["card.pdf"]


def test_an_account_without_a_name_is_asked_for_one(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("LOGNAME", "USER", "LNAME", "USERNAME"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setitem(sys.modules, "pwd", None)
    assert account.who_types("M. Vell") == "M. Vell"
    with pytest.raises(BadInput, match="--by"):
        account.who_types()
    monkeypatch.setenv("USERNAME", "vell")
    assert account.who_types() == "vell"


@pytest.mark.parametrize("flags", [[], ["--json"]], ids=["text", "json"])
def test_names_of_any_script_are_printed_into_a_narrow_pipe(
    tmp_path: Path, flags: list[str]
) -> None:
    """A pipe on Windows takes the signs of one code page unless it is told otherwise."""
    env = {**os.environ, "PYTHONIOENCODING": "cp1252", "TANKSIDE_NOW": "2026-03-02T18:00+00:00"}
    named = [*OPENING[:4], "李 Łódź", *OPENING[5:], "--by", "vell"]
    for words in (named, ["case", "show", "elm.jsonl", *flags]):
        script = f"from tankside.cli.main import app; app({words})"
        ran = subprocess.run(
            [sys.executable, "-c", script], cwd=tmp_path, env=env, capture_output=True
        )
        assert ran.returncode == 0, ran.stderr
    assert "李 Łódź" in ran.stdout.decode("utf-8")
