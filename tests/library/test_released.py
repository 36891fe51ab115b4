"""A knowledge file changed by hand is told; the list of fingerprints is the released one."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from tankside import library
from tankside.library.released import altered_files, as_list, released_list


def test_the_list_is_that_of_the_files_as_they_are() -> None:
    """Red: renew it with ``python3 dev.py fingerprints``."""
    assert released_list().read_text(encoding="utf-8") == as_list(library.data_root())
    assert library.load().altered == frozenset()


@pytest.fixture
def small(tmp_path: Path) -> Path:
    (tmp_path / "agents").mkdir()
    for name in ("one", "two"):
        (tmp_path / "agents" / f"{name}.toml").write_bytes(f'name = "{name}"\n'.encode())
    return tmp_path


def test_changed_new_and_missing_files_are_named(small: Path) -> None:
    listed = as_list(small)
    assert altered_files(small, listed) == frozenset()
    (small / "agents/one.toml").write_bytes(b'name = "One"\n')
    (small / "agents/two.toml").unlink()
    (small / "agents/three.toml").write_bytes(b"\n")
    assert altered_files(small, listed) == {f"agents/{n}.toml" for n in ("one", "two", "three")}


def test_line_ends_of_another_system_change_nothing(small: Path) -> None:
    listed = as_list(small)
    (small / "agents/one.toml").write_bytes(b'name = "one"\r\n')
    assert altered_files(small, listed) == frozenset()


def test_the_list_has_the_common_form_of_sha256sum(small: Path) -> None:
    digest = hashlib.sha256(b'name = "one"\n').hexdigest()
    assert as_list(small).splitlines()[0] == f"{digest}  agents/one.toml"
