"""``tankside case``: open a case, add what was seen and done, show, list, import, export.

What may be typed after ``case add FILE`` is written in ``tankside.case.typed_entry``; the same
text is the help of ``case add``.
"""

from __future__ import annotations

import getpass
import sys
from typing import TYPE_CHECKING, Annotated

import typer

from tankside.errors import BadInput
from tankside.terminal.output import answer

if TYPE_CHECKING:
    from tankside.services.cases import Added

app = typer.Typer(rich_markup_mode=None, no_args_is_help=True)

File = Annotated[str, typer.Argument(metavar="FILE", help="the case file, ending in .jsonl")]
Json = Annotated[bool, typer.Option("--json", help="print one JSON object")]
By = Annotated[str | None, typer.Option(help="who writes this (default: the user of this machine)")]

ADD_HELP = """Add what was seen, measured, chosen or done; several findings or counts at once.

KIND and its words (values with blanks in quotes):

\b
  system [ID]   inside-length="118 cm" inside-width="38 cm" water-height="41 cm"
                takes-away="11 L gravel" adds="6 L filter" (may repeat)
                hose="14 L/min for 12.5 min"  salt-rise="500 g raised 0.90 g/L"
                meter= label="216 L" keeper-says="40 US gal" volume-by=METHOD
                carbon=yes uv=no filter-ripe=? plants= invertebrates= air-stone=
                heater-dial="28 C" lowest= highest= shared-tools= and more
  stock [ID]    name="clown loach" count=2 length="9 cm" arrived=2026-02-24
                quarantined=no
  event         what="hose left running" topic=hose   |   event none   |   event ?
  finding       FINDING=ANSWER ...  several answers parted by commas; the first
                word of an answer will do (spot_size=grain)
  water         temperature="25.5 C" ph=7.4 ammonia="0.3 mg/L as N"
                nitrite="0 mg/L as N" kh="5 dH" oxygen="7.2 mg/L" ...
  wet-mount SAMPLE   FINDING="7 ANSWER" FINDING=none  fish= slide-age="5 min"
                alive=yes   (skin-scrape, fin-clip, gill-clip, spot, droppings)
  count         spots=61 | spots="mean 5" | flukes="0 of 5"   fish= method=
  death N       group=   (0 when somebody looked and none was dead)
  in-water      agent= amount="5 g"|?   |   in-water none   |   in-water ?
  label         agent= strength="25 % w/w as Cu" scale="1 g" syringe="0.1 mL"
                expires=2027-05-01; what the substance needs seen to, yes or no:
                buffer= clear-solution= demand-test= formulation-named=
                predissolve= zinc-free=
  dose          agent= strength="2 g/L" route= minutes="30 min" changed="40 L"
                reason=   (kept only when its amount can be shown)
  course        name= starts=2026-03-02T18:00 reason=
  done, not-done, other-amount   action= amount="80 g" changed="40 L" reason=
  confirmed, suspected, ruled-out   condition= shown-by=
  decision      go-on|stop|extend|change|wait|refer|end  reason=
  photo         file= of=
  note TEXT     closed OUTCOME

Every kind takes on=2026-03-04 or on=2026-03-04T18:30. Without it: now, or, in a
case typed in afterwards, the latest day told so far. Leave out what was not asked;
? is "asked, keeper does not know", not-looked is not none.
"""


@app.callback()
def case() -> None:
    """Keep a case: one illness in one system, as a list of dated entries in a plain file."""


def _writer(by: str | None) -> str:
    return by or getpass.getuser()


def _told(added: Added, *, as_json: bool) -> None:
    from tankside.case import to_object
    from tankside.intake.finding_words import unknown_words
    from tankside.report.case_text import line_text
    from tankside.report.dose_text import amount_line
    from tankside.services.dose_case import amounts_asked

    amounts = amounts_asked(added.new, added.stored.view())
    notes = [*map(amount_line, amounts), *unknown_words(added.new)]
    entries = [to_object(entry) for entry in added.new]
    result: dict[str, object] = {
        "file": str(added.stored.path),
        "version": added.stored.version,
        "added": entries,
    }
    if notes:
        result["notes"] = notes
    lines = [line_text(entry) for entry in added.new] + [f"NOTE {told}" for told in notes]
    text = "\n".join(lines)
    answer(result, f"Saved in {added.stored.path}\n{text}", as_json=as_json)


@app.command("new")
def new(  # noqa: PLR0913 (one option for each answer)
    file: File,
    name: Annotated[str, typer.Option(help="short name of the case, for example a street")],
    keeper: Annotated[str, typer.Option(help="whose tank it is")],
    water: Annotated[str, typer.Option(help="fresh, brackish, marine or ? (not known)")],
    zone: Annotated[str, typer.Option(help="time zone of the tank, for example Europe/London")],
    opened: Annotated[str | None, typer.Option(help="day or moment; left out: now")] = None,
    place: Annotated[str | None, typer.Option(help="where it stands")] = None,
    call: Annotated[str | None, typer.Option(help="first report, in the keeper's words")] = None,
    country: Annotated[str | None, typer.Option(help="two letters, for the law")] = None,
    practitioner: Annotated[str | None, typer.Option(help="who looks after the case")] = None,
    by: By = None,
    json: Json = False,
) -> None:
    """Open a case and write its file."""
    from tankside.services.cases import Opening, new_case

    opening = Opening(name, keeper, water, zone, opened, place, call, country, practitioner)
    _told(new_case(file, opening, by=_writer(by)), as_json=json)


@app.command("add", help=ADD_HELP)
def add(
    file: File,
    words: Annotated[list[str] | None, typer.Argument(metavar="[KIND] [WORDS]...")] = None,
    source: Annotated[
        str | None, typer.Option("--from", help="take entries from a .csv, .json or .jsonl file")
    ] = None,
    correct: Annotated[int | None, typer.Option(help="number of the entry this replaces")] = None,
    void: Annotated[int | None, typer.Option(help="number of the entry to take back")] = None,
    reason: Annotated[str | None, typer.Option(help="why it is corrected")] = None,
    by: By = None,
    json: Json = False,
) -> None:
    """Add entries to a case."""
    from tankside.services import case_import, cases

    kind, typed = (words[0], words[1:]) if words else (None, [])
    writer = _writer(by)
    if correct is not None or void is not None:
        of = _corrected(correct, void, kind, reason)
        added = cases.correct(file, of, kind, typed, reason=reason or "", by=writer)
    elif source is not None:
        added = case_import.add_from_file(file, source, kind=kind, by=writer)
    elif kind is None:
        raise _usage("Say what is added.", "a KIND and its words, or --from FILE")
    else:
        added = cases.add_words(file, kind, typed, by=writer)
    _told(added, as_json=json)


def _corrected(correct: int | None, void: int | None, kind: str | None, reason: str | None) -> int:
    if not reason:
        raise _usage("A correction needs its reason.", "--reason TEXT")
    if correct is not None and void is None and kind is not None:
        return correct
    if void is not None and correct is None and kind is None:
        return void
    raise _usage("Replace an entry, or take it back.", "--correct N KIND WORDS, or --void N alone")


def _usage(message: str, needed: str) -> BadInput:
    next_step = "See tankside case add --help; nothing was saved."
    return BadInput("E-CLI-01", message, needed=needed, next_step=next_step)


@app.command("show")
def show(
    file: File,
    history: Annotated[bool, typer.Option("--history", help="list every entry too")] = False,
    json: Json = False,
) -> None:
    """Show what the case says now, and what was not asked yet."""
    from tankside.report.case_show import show_case

    result, text = show_case(file, history=history)
    answer(result, text, as_json=json)


@app.command("list")
def list_command(
    folder: Annotated[str, typer.Argument(help="where the case files are")] = ".",
    json: Json = False,
) -> None:
    """List the cases of a folder."""
    from dataclasses import asdict

    from tankside.report.case_show import list_cases

    found = list_cases(folder)
    rows = [
        f"{c.file}  BROKEN: {c.fault}"
        if c.fault
        else f"{c.file}  {c.name}  keeper {c.keeper}  opened {c.opened}  last {c.last}  "
        f"{c.entries} entries{'  closed' if c.closed else ''}"
        for c in found
    ]
    text = "\n".join(rows) or "No cases here. Open one with: tankside case new FILE ..."
    answer({"cases": [asdict(c) for c in found]}, text, as_json=json)


@app.command("import")
def import_command(
    source: Annotated[str, typer.Argument(metavar="SOURCE", help="a case file to check and take")],
    file: File,
    json: Json = False,
) -> None:
    """Check a case file line by line and write it as a new case; a broken line refuses it all."""
    from tankside.services.cases import import_case

    stored = import_case(source, file)
    result = {"file": str(stored.path), "version": stored.version}
    answer(result, f"Saved in {stored.path}: {stored.version} entries", as_json=json)


@app.command("export")
def export(
    file: File,
    to: Annotated[str | None, typer.Option(help="file to write (default: print)")] = None,
    json: Json = False,
) -> None:
    """Write the case in its one canonical spelling."""
    from tankside.services.cases import export_case, export_to

    if to is not None:
        place = export_to(file, to)
        answer({"file": str(place)}, f"Saved in {place}", as_json=json)
    elif json:
        lines = export_case(file).decode("utf-8").splitlines()
        answer({"lines": lines}, "", as_json=True)
    else:
        sys.stdout.buffer.write(export_case(file))
