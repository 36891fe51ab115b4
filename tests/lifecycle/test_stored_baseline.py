"""The same seed gives what it gave before; a wanted change is stored by an explicit command."""

from __future__ import annotations

import pytest
from tests.lifecycle.stored_baseline import FOLDER, cases, stored, summary


@pytest.mark.parametrize("name", sorted(cases()))
def test_same_seed_gives_the_stored_result(name: str) -> None:
    now, before = summary(cases()[name]()), stored(name)
    assert now["totals"] == before["totals"]
    assert now["digests"] == before["digests"]


def test_every_stored_file_belongs_to_a_case() -> None:
    assert {path.stem for path in FOLDER.glob("*.json")} == set(cases())
