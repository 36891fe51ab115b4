"""Make a case, add typed or filed entries to it, correct one, import and export it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from functools import partial
from pathlib import Path

from tankside.case import CaseView, Correction, Entry, decode, encode, entry_from, fold
from tankside.case.codec import at_line
from tankside.case.described import Opened
from tankside.case.partial_move import refuse_split, split
from tankside.case.typed_entry import split_words, typed_entries
from tankside.case.typed_value import NOT_KNOWN, Door, Fields, Typed
from tankside.errors import BadInput, Mistake
from tankside.intake import clock
from tankside.intake.condition_names import conditions_named
from tankside.intake.counted import refuse_uncounted
from tankside.intake.country import country_code
from tankside.intake.finding_words import completed
from tankside.intake.species import settled
from tankside.library import load
from tankside.quantity.moment import Moment, check_moment, parse_moment
from tankside.records.case_store import create_case, read_case
from tankside.records.stored_case import StoredCase
from tankside.services import opening_corrected
from tankside.services.kept_labels import kept_label_words
from tankside.services.saving import JUST_SENT, Added, Sent, save
from tankside.services.unfit_entry import refuse_unfit

_MAY_BE_UNKNOWN = ("place", "call", "country", "practitioner")
_OPENING = ("name", "keeper", "zone", *_MAY_BE_UNKNOWN)


@dataclass(frozen=True, slots=True)
class Writer:
    """Who writes, and as what: ``role`` is None where nobody said."""

    name: str
    role: str | None = None


@dataclass(frozen=True, slots=True)
class Opening:
    """The answers that open a case, as typed; None was not asked.

    ``opened`` is a day or moment (None: now); ``zone`` an IANA zone of the tank; ``country`` its
    code or its name.
    """

    name: str
    keeper: str
    water: str
    zone: str
    opened: str | None = None
    place: str | None = None
    call: str | None = None
    country: str | None = None
    practitioner: str | None = None


def new_case(path: str | Path, opening: Opening, *, by: str, role: str | None = None) -> Added:
    """Write a new case file with its opening entry.

    Raises:
        BadInput: a field, the path or the date is refused.
        CouldNotSave: the disk refused; nothing was written.
    """
    now = clock.now()
    typed = opening.opened or now.isoformat(timespec="minutes")
    at = parse_moment(typed, field="opened", zone=opening.zone, day_starts=True)
    check_moment(at, field="opened", now=now)
    fields: Fields = {"kind": "opened", "occurred_at": at.text, "day_only": at.day_only}
    asked = {name: getattr(opening, name) for name in _OPENING}
    unknown = [name for name in _MAY_BE_UNKNOWN if asked[name] in NOT_KNOWN]
    fields |= {n: text for n, text in asked.items() if text is not None and n not in unknown}
    if unknown:
        fields["not_known"] = unknown
    if "country" in fields:
        fields["country"] = country_code(load(), str(fields["country"]))
    fields["water"] = "keeper_does_not_know" if opening.water == "?" else opening.water
    entry = entry_from(_stamped(1, fields, now, Writer(by, role)))
    stored = create_case(path, (entry,))
    return Added(stored, (entry,))


def door_of(stored: StoredCase, *, comma_declared: bool = False) -> Door:
    """Return what typed text needs: zone, present, and when an undated entry happened.

    An entry without a time happened now. In a case typed in afterwards (opened on an earlier
    day than it was written down) it happened on the latest day told so far.
    """
    view = stored.view()
    now = clock.now()
    at = Moment(now.isoformat(timespec="minutes"))
    opened = view.opened.moment
    recorded = datetime.fromisoformat(view.opened.recorded_at).astimezone(opened.when.tzinfo)
    if recorded.date() > opened.day:
        last = view.last_moment()
        at = Moment(last.text, last.day_only)
    groups = {name: group.description.name for name, group in view.stock.items()}
    return Door(
        view.opened.zone, now, opened, at, comma_declared, groups, tuple(view.systems),
        partial(_system_of_step, view),
    )  # fmt: skip


def _system_of_step(view: CaseView, typed: str) -> str:
    """Return where a step of a course is done; the course is only read for an entry of a step."""
    from tankside.intake.course_steps import system_of_step

    return system_of_step(view, load(), typed)


def add_words(
    path: str | Path, kind: str, words: Sequence[str], *, by: str, sent: Sent = JUST_SENT
) -> Added:
    """Add what was typed as one kind of entry and its words (see ``case.typed_entry``)."""
    return add_typed(path, kind, split_words(words), by=by, sent=sent)


def add_typed(
    path: str | Path, kind: str, words: Sequence[Typed], *, by: str, sent: Sent = JUST_SENT
) -> Added:
    """Add entries from keys and values that come apart (a form).

    Raises:
        BadInput: E-PROD-02 a container that this practice does not keep; what the words refuse.
    """

    def make(stored: StoredCase) -> tuple[Entry, ...]:
        fields = typed_entries(kind, typed, door_of(stored))
        return number_on(stored, fields, Writer(by, sent.role))

    typed = kept_label_words(kind, words)
    return save(path, make, sent)


def add_fields(
    path: str | Path, rows: Iterable[Mapping[str, object]], *, by: str, sent: Sent = JUST_SENT
) -> Added:
    """Add entries that come as JSON data without ``id``, ``recorded_at`` and ``by``.

    This is the door for other services (a chosen course) and for ``case add --from X.json``.
    """
    fields = [dict(row) for row in rows]
    return save(path, lambda stored: number_on(stored, fields, Writer(by, sent.role)), sent)


def correct(
    path: str | Path,
    of: int,
    kind: str | None,
    words: Sequence[str],
    *,
    reason: str,
    by: str,
    sent: Sent = JUST_SENT,
) -> Added:
    """Put a correction beside an old entry, from words as they are typed on a command line."""
    return correct_typed(path, of, kind, split_words(words), reason=reason, by=by, sent=sent)


def correct_typed(
    path: str | Path,
    of: int,
    kind: str | None,
    words: Sequence[Typed],
    *,
    reason: str,
    by: str,
    sent: Sent = JUST_SENT,
) -> Added:
    """Put a correction beside an old entry; without kind and words the old entry is void.

    Raises:
        BadInput: E-CASE-02 when there is no such entry or the words make another kind.
    """
    writer = Writer(by, sent.role)

    def make(stored: StoredCase) -> tuple[Entry, ...]:
        if not 1 <= of <= stored.version:
            raise BadInput(
                "E-CASE-02",
                "There is no such entry.",
                given=of,
                needed=f"a number from 1 to {stored.version}",
                next_step="Look at the entries with: tankside case show FILE --history",
                field="correct",
            )
        now = clock.now()
        fields: Fields = {"kind": "correction", "of": of, "reason": reason}
        fields["occurred_at"] = now.isoformat(timespec="minutes")
        if kind is not None:
            said = _corrected(stored, of, kind, words)
            fields["replacement"] = _stamped(of, said, now, writer)
        return number_on(stored, [fields], writer)

    return save(path, make, sent)


def _corrected(stored: StoredCase, of: int, kind: str, words: Sequence[Typed]) -> Fields:
    """Return what an old entry should have said."""
    before = stored.entries[: of - 1]
    door = replace(door_of(stored), standing_at=stored.entries[of - 1].moment)
    instead = _told_instead(stored, kind, words, door)
    made = [settled_words(each, before) for each in instead]
    if len(made) > 1:
        raise BadInput(
            "E-CASE-02",
            "One entry is corrected by one entry.",
            given=f"{len(made)} entries",
            needed="one finding or one count",
            next_step="Correct them one by one; nothing was saved.",
            field="correct",
        )
    if made[0]["kind"] == "stock":
        refuse_split(made[0], fold(before))
    return made[0]


def _told_instead(
    stored: StoredCase, kind: str, words: Sequence[Typed], door: Door
) -> list[Fields]:
    """Return the fields that stand in place of an old entry; of the opening, only what is typed."""
    if kind == opening_corrected.KIND:
        return [opening_corrected.opening_with(stored.view().opened, words, door)]
    return typed_entries(kind, words, door)


def checked_entries(data: bytes) -> tuple[Entry, ...]:
    """Read the bytes of a case file and check every entry as if it were typed now.

    Raises:
        BadInput: with the line number of the first broken line.
    """
    entries = decode(data)
    now = clock.now()
    for line, entry in enumerate(entries, 2):
        try:
            check_moment(entry.moment, field="time", now=now)
            if isinstance(entry, Opened) and entry.country is not None:
                country_code(load(), entry.country)
        except Mistake as fault:
            raise at_line(line, fault) from None
    first_refused(entries, line_of=lambda index: index + 2)
    return entries


def bytes_of(path: Path) -> bytes:
    """Read a file that is to be imported.

    Raises:
        BadInput: E-PATH-02 when there is none.
    """
    if not path.is_file():
        raise BadInput(
            "E-PATH-02",
            "There is no such file.",
            given=str(path),
            needed="a file that exists",
            next_step="Check the name; nothing was added.",
            field="from",
        )
    return path.read_bytes()


def export_case(path: str | Path) -> bytes:
    """Return the case as the canonical bytes of a case file."""
    return encode(read_case(path).entries)


def first_refused(
    entries: Sequence[Entry], line_of: Callable[[int], int], standing: int = 0
) -> None:
    """Fold the entries; when that is refused, name the line of the first that cannot stand.

    Args:
        entries: the case as it would be.
        line_of: line of the file that holds entry ``standing + index``.
        standing: entries that stand already.
    """
    try:
        fold(entries)
    except Mistake:
        low, high = standing, len(entries)
        while high - low > 1:
            middle = (low + high) // 2
            if _folds(entries[:middle]):
                low = middle
            else:
                high = middle
        try:
            fold(entries[:high])
        except Mistake as fault:
            raise at_line(line_of(high - 1 - standing), fault) from None


def _folds(entries: Sequence[Entry]) -> bool:
    try:
        fold(entries)
    except Mistake:
        return False
    return True


def _stamped(number: int, fields: Fields, now: datetime, writer: Writer) -> Fields:
    stamp = now.astimezone(UTC).isoformat(timespec="seconds").replace("+00:00", "Z")
    stamped = {"id": number, "recorded_at": stamp, "by": writer.name, **fields}
    return stamped if writer.role is None else {"role": writer.role, **stamped}


def number_on(stored: StoredCase, rows: Sequence[Fields], writer: Writer) -> tuple[Entry, ...]:
    """Give new entries their numbers, the time of writing, the writer's name and role."""
    now = clock.now()
    entries: list[Entry] = []
    for fields in rows:
        written = (*stored.entries, *entries)
        for single in _split(settled_words(fields, written), written):
            number = stored.version + 1 + len(entries)
            entry = entry_from(_stamped(number, single, now, writer))
            if not isinstance(entry, Correction):
                check_moment(entry.moment, field="on", now=now)
            refuse_uncounted(load(), entry)
            entries.append(entry)
            refuse_unfit((*stored.entries, *entries))
    return tuple(entries)


def settled_words(fields: Fields, written: Sequence[Entry]) -> Fields:
    """Hold the words of an entry to what is on file: signs, their answers, kinds of animals.

    Raises:
        BadInput: E-FIND-01, E-FIND-02, E-HOST-01 or E-HOST-02, with near matches.
    """
    return settled([completed(conditions_named([fields]))[0]], load(), lambda: fold(written))[0]


def _split(fields: Fields, before: Sequence[Entry]) -> list[Fields]:
    """Return the entries that tell what one says; a move of some of a group is two."""
    return split(fields, fold(before)) if fields.get("kind") == "stock" else [fields]
