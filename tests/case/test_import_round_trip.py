"""Export, import, export: through the files, the entries and the fold, and never a byte changed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from tankside.case import Entry
from tankside.records.case_file import create_case, read_case
from tankside.services.case_copies import export_to, import_case

CASES = 1000


def test_a_thousand_cases_leave_and_come_back_byte_for_byte(
    make_case: Callable[[int], tuple[Entry, ...]], tmp_path: Path
) -> None:
    corrected = 0
    for seed in range(CASES):
        entries = make_case(seed)
        create_case(tmp_path / f"{seed}.jsonl", entries)
        first = export_to(tmp_path / f"{seed}.jsonl", tmp_path / f"{seed}-out.jsonl")
        import_case(first, tmp_path / f"{seed}-in.jsonl")
        second = export_to(tmp_path / f"{seed}-in.jsonl", tmp_path / f"{seed}-again.jsonl")
        assert second.read_bytes() == first.read_bytes()
        assert read_case(second).view() == read_case(first).view()
        corrected += any(entry.kind == "correction" for entry in entries)
    assert corrected > CASES / 2
