"""An entry read back as the words that type it is the same entry."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from tests.scenarios import test_elm_road as elm
from tests.scenarios import test_mill_race as mill
from tests.scenarios import test_quay_house as quay

from tankside.case.entry import Correction
from tankside.case.typed_again import typed_again, word_of
from tankside.case.typed_entry import typed_entries
from tankside.records.case_file import read_case
from tankside.records.stored_case import StoredCase
from tankside.services import cases

MORE = [
    ["event", "hose left running", "topic=hose", "changed=20 L"],
    ["event", "evaporated", "topped-up=6 L"],
    ["event", "none"],
    ["event", "?"],
    ["in-water", "agent=salt", "amount=20 g"],
    ["in-water", "agent=formalin", "amount=?"],
    ["in-water", "none"],
    ["water", "ph=7.2", "nitrite=?", "oxygen=not-looked", "dawn=yes", "kit=drops"],
    ["count", "skin flukes=3 of 4"],
    ["count", "spots=not-looked"],
    ["wet-mount", "gill-clip", "m_fluke_gill=2 of 5 few", "m_disc_ring=not-looked", "fields=10"],
    ["finding", "spot_size=grain, dust", "fish=old one"],
    ["finding", "flashing=?"],
    ["suspected", "condition=ICH", "shown-by=spots"],
    ["ruled-out", "condition=MVELVET", "shown-by=gill clip"],
    ["decision", "go-on", "reason=fewer"],
    ["note", "away: back on Friday, late"],
    ["system", "uv=?", "shares-water=none", "lights-on=09:00", "meter=175 L"],
]


def told(folder: Path, name: str, opening: list[str], rows: list[list[str]]) -> StoredCase:
    said = dict(zip((word.removeprefix("--") for word in opening[::2]), opening[1::2], strict=True))
    needed = [said.pop(key) for key in ("name", "keeper", "water", "zone")]
    path = folder / f"{name}.jsonl"
    cases.new_case(path, cases.Opening(*needed, **said), by="test")
    for kind, *words in rows:
        cases.add_words(path, kind, words, by="test")
    return read_case(path)


@pytest.fixture(scope="module")
def stored(tmp_path_factory: pytest.TempPathFactory) -> Iterator[list[StoredCase]]:
    folder = tmp_path_factory.mktemp("again")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TANKSIDE_NOW", "2026-07-20T18:30+00:00")
        yield [
            told(folder, "elm", elm.OPENING, [*elm.TANK, elm.WATER, *elm.SEEN, *elm.TO_DAY_5]),
            told(folder, "mill", mill.OPENING, [*mill.ROWS, mill.BY_SALT, *mill.BOTH]),
            told(folder, "quay", quay.OPENING, [*quay.CALL, *quay.MOVED]),
            told(folder, "more", elm.OPENING, [elm.TANK[0], elm.TANK[1], *MORE]),
        ]


def test_every_kind_of_entry_is_typed_again_as_it_was(stored: list[StoredCase]) -> None:
    kinds = set()
    for case in stored:
        for entry in case.entries[1:]:
            assert not isinstance(entry, Correction)
            at = replace(cases.door_of(case), standing_at=entry.moment)
            (fields,) = typed_entries(word_of(entry), typed_again(entry), at)
            (settled,) = [cases.settled_words(fields, case.entries[: entry.id - 1])]
            again = type(entry).model_validate(
                {**settled, "id": entry.id, "recorded_at": entry.recorded_at, "by": entry.by}
            )
            assert again == entry, typed_again(entry)
            kinds.add(entry.kind)
    assert kinds >= {"system", "stock", "water_test", "finding", "wet_mount", "count", "death",
                     "event", "agent_in_water", "label_read", "diagnosis_confirmed", "decision",
                     "note"}  # fmt: skip
