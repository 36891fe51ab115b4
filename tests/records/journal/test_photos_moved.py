"""Pictures leave the journal and come back byte for byte, beside case files and with tables."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.records.case_entries import opened
from tests.records.pictures import PNG, photo_entry, picture
from typer.testing import CliRunner

from tankside.cli.main import app
from tankside.records.case_store import (
    append_entries,
    create_case,
    read_case,
    read_case_photo,
)
from tankside.records.journal.place import VARIABLE, JournalPlace, journal_place
from tankside.records.journal.verify import verify_place
from tankside.services.case_copies import export_to
from tankside.services.records import export_folder, import_folder
from tankside.services.records_tables import export_tables


def test_pictures_go_out_and_come_back_byte_for_byte(
    place: JournalPlace, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = [picture(1), picture(2, 300_000)]
    for label, photo in zip(("elm", "oak"), kept, strict=True):
        first = create_case(label, [opened(label)])
        append_entries(first, [photo_entry(2, photo)], photos=[photo])
    out = tmp_path / "out"
    out.mkdir()
    written = export_folder(out)
    assert [(each.photos, each.photos_missing) for each in written] == [(1, 0), (1, 0)]
    export_tables(out)
    heads = {path.name: path.read_bytes() for path in out.glob("*.jsonl")}
    lost = out / "oak.photos" / kept[1].file_name
    data = lost.read_bytes()
    lost.write_bytes(data[:-1])
    monkeypatch.setenv(VARIABLE, str(tmp_path / "back.db"))
    taken = import_folder(out)
    assert [(each.photos, each.photos_missing) for each in taken] == [(1, 0), (0, 1)]
    lost.write_bytes(data)
    taken = import_folder(out)
    assert [(each.entries, each.photos) for each in taken] == [(0, 1), (0, 1)]
    back = tmp_path / "back"
    back.mkdir()
    export_folder(back)
    assert {path.name: path.read_bytes() for path in back.glob("*.jsonl")} == heads
    for label, photo in zip(("elm", "oak"), kept, strict=True):
        assert (back / f"{label}.photos" / photo.file_name).read_bytes() == photo.data
        assert read_case_photo(read_case(label), photo.sha256) == photo.data
    assert verify_place(journal_place(tmp_path / "back.db")).faults == ()
    monkeypatch.setenv(VARIABLE, str(tmp_path / "table.db"))
    taken = import_folder(out / "entries.csv")
    assert [each.photos for each in taken] == [1, 1]
    copied = export_to("elm", tmp_path / "elm.jsonl")
    assert read_case_photo(read_case(copied), kept[0].sha256) == kept[0].data


@pytest.mark.parametrize("store", ["journal", "file"])
def test_a_picture_typed_at_the_command_line_is_kept_listed_and_written(
    store: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(VARIABLE, str(tmp_path / "journal.db"))
    case = "elm" if store == "journal" else str(tmp_path / "elm.jsonl")
    create_case(case, [opened()])
    file = tmp_path / "loach.png"
    file.write_bytes(PNG)

    def typed(*words: str) -> str:
        ran = CliRunner().invoke(app, ["case", *words])
        assert ran.exit_code == 0, ran.output
        return ran.stdout

    assert "loach.jpg" in typed("attach", case, str(file), "of=worst loach", "--by", "vell")
    listed = typed("photos", case, "--save", str(tmp_path))
    assert "worst loach" in listed
    assert "only named" not in listed
    (entry,) = read_case(case).view().photos
    assert entry.sha256 is not None
    data = read_case_photo(read_case(case), entry.sha256)
    assert data is not None
    assert (tmp_path / f"{entry.sha256}.jpg").read_bytes() == data
    gone = CliRunner().invoke(app, ["case", "attach", case, "gone.png", "--json"])
    assert (gone.exit_code, '"E-PATH-02"' in gone.stdout) == (2, True)
