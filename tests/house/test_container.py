"""The container files: nothing is reached from outside, no password stands in them, locks hold."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
IMAGE = (ROOT / "Containerfile").read_text(encoding="utf-8")
SERVICES = (ROOT / "compose.yaml").read_text(encoding="utf-8")
PAGE = (ROOT / "docs" / "howto" / "practice.md").read_text(encoding="utf-8")


def ports_beyond_this_machine(text: str) -> list[str]:
    """List the ports that are given to other machines."""
    listed = re.findall(r'^\s+- "?([\d.:]+:\d+)"?$', text, re.MULTILINE)
    return [port for port in listed if not port.startswith("127.0.0.1:")]


def passwords_written(text: str) -> list[str]:
    """List the passwords that stand there in place of a variable that must be set."""
    said = re.findall(r"^\s+\w*PASSWORD\w*:\s*(.+)$", text, re.MULTILINE)
    return [value for value in said if not re.fullmatch(r"\$\{\w+:\?[^}]+\}", value)]


def test_no_port_is_given_to_other_machines() -> None:
    assert "127.0.0.1:5432:5432" in SERVICES
    assert ports_beyond_this_machine(SERVICES) == []
    assert ports_beyond_this_machine('    - "5432:5432"\n    - "0.0.0.0:1:2"\n') == [
        "5432:5432", "0.0.0.0:1:2",
    ]  # fmt: skip


def test_every_password_comes_from_outside_and_must_be_set() -> None:
    assert passwords_written(SERVICES) == []
    assert passwords_written("  PGPASSWORD: secret\n  PGPASSWORD: ${X:-easy}\n") == [
        "secret", "${X:-easy}",
    ]  # fmt: skip


def test_the_workbench_works_as_the_role_that_may_only_add() -> None:
    workbench = SERVICES.split("\n  workbench:\n")[1].split("\n  owner:\n")[0]
    assert "postgresql://desk@127.0.0.1/records" in workbench
    assert "OWNER_PASSWORD" not in workbench


def test_all_that_is_installed_is_locked() -> None:
    installs = re.findall(r"pip install (.+?)(?:\n|$)", IMAGE)
    assert installs
    for words in installs:
        assert "--require-hashes -r locks/run.lock" in words or (
            "--no-deps" in words and "--no-build-isolation" in words
        )
    lock = (ROOT / "locks" / "run.lock").read_text(encoding="utf-8")
    assert re.search(r"^flit-core==", lock, re.MULTILINE)
    assert re.search(r"^psycopg==", lock, re.MULTILINE)


@pytest.mark.parametrize("copied", re.findall(r"^COPY (?!--from)(.+)$", IMAGE, re.MULTILINE))
def test_what_is_copied_is_there(copied: str) -> None:
    *sources, _ = copied.split()
    assert [name for name in sources if not (ROOT / name).exists()] == []


def test_the_page_uses_services_and_variables_that_there_are() -> None:
    services = set(re.findall(r"^  (\w+):$", SERVICES.split("\nvolumes:")[0], re.MULTILINE))
    called = set(re.findall(r"docker compose (?:run --rm|exec) (\w+)", PAGE))
    assert called == services == {"database", "workbench", "owner"}
    assert set(re.findall(r"\$\{(\w+):\?", SERVICES)) <= set(re.findall(r"(\w+)=\$\(openssl", PAGE))
