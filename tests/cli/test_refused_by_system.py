"""What the system refuses is said in words: names too long, output that is full or closed."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.cli.conftest import Ran

from tankside.quantity import strict_json
from tankside.records import case_file, stored_case

LONG = "a" * 300
Run = Callable[..., Ran]
TANKSIDE = [sys.executable, "-c", "from tankside.cli.main import app; app()"]


def started(*words: str, out: int, **variables: str) -> subprocess.CompletedProcess[bytes]:
    return subprocess.run(
        [*TANKSIDE, *words], stdout=out, stderr=subprocess.PIPE, env=os.environ | variables
    )


@pytest.mark.parametrize(
    "words",
    [
        ("case", "list", LONG), ("case", "add", "elm.jsonl", "--from", LONG + ".csv"),
        ("case", "show", LONG + ".jsonl"), ("case", "show", LONG),
        ("case", "export", "elm.jsonl", "--to", LONG + ".jsonl"),
        ("case", "import", LONG + ".jsonl", "new.jsonl"),
        ("records", "list", "--journal", LONG), ("records", "import", LONG),
        ("records", "export", LONG), ("records", "backup", LONG), ("records", "restore", LONG),
        ("knowledge", "lint", "--folder", LONG),
    ],
    ids=lambda words: " ".join(words[:2]) + f" {len(words)}",
)  # fmt: skip
def test_a_name_that_is_too_long_is_refused_in_words(
    elm: Run, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_JOURNAL", str(Path("journal.db").absolute()))
    assert elm("case", "import", "elm.jsonl", "elm").code == 0
    ran = elm(*words, "--json")
    assert ran.code in (2, 3, 5)
    assert ran.error["code"].startswith("E-")


def test_output_that_is_full_is_said_on_standard_error(elm: Run) -> None:
    with open("/dev/full", "wb") as full:
        for more in ((), ("--json",)):
            ran = started("case", "show", "elm.jsonl", *more, out=full.fileno())
            assert ran.returncode == 5
            assert ran.stderr.startswith(b"E-DB-04: The system refused")
            assert b"Traceback" not in ran.stderr


def test_output_that_is_closed_ends_in_silence(elm: Run) -> None:
    for words in (("case", "show", "elm.jsonl"), ("case", "export", "elm.jsonl")):
        hear, tell = os.pipe()
        os.close(hear)
        try:
            ran = started(*words, out=tell)
        finally:
            os.close(tell)
        assert (ran.returncode, ran.stderr) == (1, b"")


def test_an_ascii_terminal_shows_a_stand_in(elm: Run) -> None:
    assert elm("case", "add", "elm.jsonl", "note", "Jürgen \u5f20").code == 0
    ascii_only = {"LC_ALL": "C", "PYTHONIOENCODING": "ascii", "PYTHONUTF8": "0"}
    ran = started("case", "show", "elm.jsonl", "--history", out=subprocess.PIPE, **ascii_only)
    assert (ran.returncode, ran.stderr) == (0, b"")
    assert "Jürgen \u5f20" in ran.stdout.decode("utf-8")


def test_an_amount_asked_on_an_older_version_is_refused_when_copper_came_in(elm: Run) -> None:
    add = ("case", "add", "elm.jsonl")
    assert elm(*add, "system", "meter=100 L").code == 0
    label = ("label", "agent=salt", "strength=pure", "scale=1 g", "on=2026-03-02")
    assert elm(*add, *label).code == 0
    seen = str(elm("case", "show", "elm.jsonl", "--json").answer["version"])
    copper = ("in-water", "agent=copper_sulphate", "amount=0.2 mg/L", "on=2026-03-05")
    assert elm(*add, *copper).code == 0
    asked = (*add, "dose", "agent=salt", "strength=1 g/L", "on=2026-03-05")
    refused = elm(*asked, "--seen", seen, "--json")
    assert refused.code == 5
    assert refused.error["code"] == "E-WEB-04"
    assert "agent in water" in refused.error["message"]
    assert elm("case", "show", "elm.jsonl", "--json").answer["version"] == int(seen) + 1
    assert elm(*asked, "--seen", str(int(seen) + 1), "--json").code == 0


def test_a_check_of_nothing_does_not_say_that_all_is_well(elm: Run) -> None:
    Path("empty").mkdir()
    for folder in ("empty", "nowhere"):
        ran = elm("knowledge", "lint", "--folder", folder, "--json")
        assert (ran.code, ran.error["code"]) == (2, "E-PATH-02")


def test_a_case_is_not_saved_into_a_size_that_nothing_opens(
    elm: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("TANKSIDE_JOURNAL", str(Path("journal.db").absolute()))
    assert elm("case", "import", "elm.jsonl", "elm").code == 0
    for module in (stored_case, case_file, strict_json):
        monkeypatch.setattr(module, "LARGEST_BYTES", 100_000)
    note = '{"kind":"note","occurred_at":"2026-03-05T12:00+00:00","text":"%s"}\n' % ("x" * 3900)
    Path("first.jsonl").write_text(note * 24, encoding="utf-8")
    Path("rest.jsonl").write_text(note, encoding="utf-8")
    for case in ("elm.jsonl", "elm"):
        assert elm("case", "add", case, "--from", "first.jsonl").code == 0
        ran = elm("case", "add", case, "--from", "rest.jsonl", "--json")
        assert (ran.code, ran.error["code"]) == (2, "E-FILE-01")
        assert elm("case", "show", case, "--json").answer["version"] == 26
