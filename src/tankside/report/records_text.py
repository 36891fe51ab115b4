"""What is said of the journal as a whole, for a terminal and as the documented JSON objects."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict

from tankside.records.journal.case_list import JournalCase
from tankside.records.journal.manifest import BackupManifest
from tankside.records.journal.people import JournalPerson
from tankside.records.journal.upgrading import Upgraded
from tankside.records.journal.verify import Verified
from tankside.services.records import Transferred
from tankside.services.records_tables import TablesWritten

NONE_FITS = "No case fits."
NO_CASES = "No cases here. Open one with: tankside case new SHORT-NAME ..."


def list_text(cases: Sequence[JournalCase]) -> str:
    """Return one line a case."""
    return "\n".join(map(_case_line, cases)) or NO_CASES


def found_text(cases: Sequence[JournalCase]) -> str:
    """Return one line a case that fits a search."""
    return "\n".join(map(_case_line, cases)) or NONE_FITS


def list_json(cases: Sequence[JournalCase]) -> dict[str, object]:
    """Return the documented answer of ``records list --json``."""
    return {"cases": [asdict(case) for case in cases]}


def _case_line(case: JournalCase) -> str:
    return (
        f"{case.number}  {case.label}  {case.name}  keeper {case.keeper}  opened {case.opened}  "
        f"last {case.last}  {case.entries} entries{'  closed' if case.closed else ''}"
    )


def transfer_text(files: Sequence[Transferred]) -> str:
    """Return one line a file, and how many could not be done."""
    lines = [_file_line(each) for each in files]
    faults = sum(each.fault is not None for each in files)
    lines.append(f"{len(files) - faults} of {len(files)} case files done")
    return "\n".join(lines)


def transfer_json(files: Sequence[Transferred]) -> dict[str, object]:
    """Return the documented answer of ``records import --json`` and ``records export --json``."""
    return {
        "files": [
            {
                "file": each.file,
                "case": each.number or None,
                "entries": each.entries,
                "respelled": each.respelled,
                "photos": each.photos,
                "photos_missing": each.photos_missing,
            }
            | ({"error": each.fault.as_json()} if each.fault else {})
            for each in files
        ]
    }


def _file_line(each: Transferred) -> str:
    if each.fault is not None:
        return f"{each.file}  NOT DONE: {each.fault}"
    respelled = "  kept in the canonical spelling" if each.respelled else ""
    photos = f"  {each.photos} photos" if each.photos else ""
    missing = f"  MISSING: {each.photos_missing} photos" if each.photos_missing else ""
    return f"{each.file}  case {each.number}  {each.entries} entries{photos}{missing}{respelled}"


def verified_text(verified: Verified) -> str:
    """Say what was looked over, the head to write down, and each fault."""
    if verified.faults:
        faults = "\n".join(f"  {fault}" for fault in verified.faults)
        return (
            f"BROKEN: the journal does not hold what was written.\n{faults}\n"
            "Leave it as it is; restore the last backup to a new place: "
            "tankside records restore BACKUP --to PLACE"
        )
    if not verified.entries:
        return "There is no entry in the journal: nothing was checked."
    jumps = f"\nThe clock had jumped before {verified.clock_suspect} of them."
    return (
        f"{verified.entries} entries of {verified.cases} cases hold, each as it was written.\n"
        f"Head {verified.head}: written down elsewhere, it shows later that nothing was replaced."
        + (jumps if verified.clock_suspect else "")
    )


def verified_json(verified: Verified) -> dict[str, object]:
    """Return the documented answer of ``records verify --json``."""
    return asdict(verified) | {"faults": list(verified.faults)}


def backup_text(manifest: BackupManifest, place: str) -> str:
    """Say what a backup holds."""
    return (
        f"{place}: {manifest.entries} entries of {manifest.cases} cases, read back and checked.\n"
        f"Head {manifest.head}"
    )


def backup_json(manifest: BackupManifest, place: str) -> dict[str, object]:
    """Return the documented answer of ``records backup --json`` and ``records restore --json``."""
    return {"place": place, **asdict(manifest)}


def upgraded_text(upgraded: Upgraded) -> str:
    """Say from which schema a journal came."""
    if upgraded.copy is None:
        return f"The journal has schema {upgraded.after} already; nothing was changed."
    return f"Schema {upgraded.before} is now {upgraded.after}. As it was before: {upgraded.copy}"


def people_text(people: Sequence[JournalPerson]) -> str:
    """Return one line a person."""
    return "\n".join(
        f"{p.number}  {p.name}  wrote {p.entries} entries, keeps {p.cases} cases"
        + ("  removed" if p.removed else "")
        for p in people
    )


def people_json(people: Sequence[JournalPerson]) -> dict[str, object]:
    """Return the documented answer of ``records people --json``."""
    return {"people": [asdict(person) for person in people]}


def removed_text(person: JournalPerson) -> str:
    """Say what was done, and where the name may still stand."""
    return (
        f"Removed. {person.name} stands in its place in {person.entries} entries and as the keeper "
        f"of {person.cases} cases.\n"
        "Earlier backups, exported files and prints still hold the name, and so may notes: throw "
        "away what is not needed, and take back or correct such notes."
    )


def tables_text(written: TablesWritten) -> str:
    """Say what stands in the tables, and which photos are not there."""
    lines = [f"{written.entries} entries of {written.cases} cases, {len(written.photos)} photos"]
    lines += [f"MISSING, or not as it was: {name}" for name in written.missing]
    return "\n".join(lines)


def tables_json(written: TablesWritten) -> dict[str, object]:
    """Return the documented answer of ``records export --tables --json``."""
    return asdict(written) | {"photos": list(written.photos), "missing": list(written.missing)}
