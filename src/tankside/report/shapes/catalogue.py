"""Every JSON answer by its name, with its version and the commands that give it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from tankside.report.shapes import (
    amounts,
    cases,
    courses,
    journal,
    knowledge,
    outlook,
    program,
    ranking,
    shared,
    teaching,
)


@dataclass(frozen=True, slots=True)
class AnswerShape:
    """The declared shape of one JSON answer.

    Args:
        shape: its declaration, a ``TypedDict``.
        given_by: the commands that print it with ``--json``.
        version: raised when a key goes or changes its name, type or meaning.
    """

    shape: type
    given_by: tuple[str, ...]
    version: int = 1


def _shape(shape: object, *given_by: str, version: int = 1) -> AnswerShape:
    assert isinstance(shape, type)
    return AnswerShape(shape, given_by, version)


CARE_DOORS = ("plan", "today", "forecast", "follow")
ANSWERS: Mapping[str, AnswerShape] = MappingProxyType(
    {
        "error": _shape(shared.MistakeJson, "every command that refuses"),
        "waiting": _shape(shared.WorkWaitingJson),
        "differential": _shape(ranking.DifferentialJson, "differential --findings"),
        "case-differential": _shape(ranking.CaseDifferentialJson, "differential"),
        "early": _shape(ranking.EarlyJson, "differential --early"),
        "findings": _shape(ranking.FindingsJson, "findings"),
        "plan": _shape(courses.PlanJson, "plan"),
        "chosen": _shape(courses.ChosenJson, "plan --choose"),
        "care": _shape(courses.CareJson, *CARE_DOORS),
        "day-card": _shape(courses.DayCardJson, "today"),
        "forecast": _shape(outlook.ForecastJson, "forecast"),
        "printed-dates": _shape(outlook.PrintedDatesJson, "forecast --organism"),
        "follow": _shape(outlook.FollowJson, "follow"),
        "letter": _shape(cases.LetterJson, "letter"),
        "dose": _shape(amounts.DoseJson, "dose"),
        "feed": _shape(amounts.FeedJson, "dose --route feed"),
        "equipment": _shape(amounts.EquipmentJson, "dose --route equipment"),
        "water": _shape(amounts.WaterJson, "water"),
        "case": _shape(cases.CaseJson, "case show"),
        "added": _shape(cases.AddedJson, "case new", "case add", "case write", "case attach"),
        "imported": _shape(cases.ImportedJson, "case import"),
        "exported-lines": _shape(cases.ExportedLinesJson, "case export"),
        "exported-file": _shape(cases.ExportedFileJson, "case export --to"),
        "case-list": _shape(cases.CaseListJson, "case list"),
        "photos": _shape(cases.PhotosJson, "case photos"),
        "claims": _shape(knowledge.ClaimsJson, "knowledge show"),
        "source": _shape(knowledge.SourceJson, "knowledge show"),
        "rivals": _shape(knowledge.RivalsJson, "knowledge rivals"),
        "sources": _shape(knowledge.SourcesJson, "knowledge sources"),
        "counts": _shape(knowledge.KnowledgeCountsJson, "knowledge sources --summary"),
        "kinds": _shape(knowledge.KindsJson, "knowledge kinds"),
        "sheets": _shape(teaching.SheetsJson, "sheet"),
        "sheet": _shape(teaching.SheetJson, "sheet"),
        "lint": _shape(knowledge.LintJson, "knowledge lint"),
        "practice": _shape(knowledge.PracticeJson, "knowledge practice"),
        "pages-written": _shape(knowledge.PagesWrittenJson, "knowledge reference"),
        "journal-list": _shape(journal.JournalListJson, "records list", "records search"),
        "due": _shape(journal.DueJson, "records due"),
        "statistics": _shape(journal.StatisticsJson, "records statistics"),
        "people": _shape(journal.PeopleJson, "records people", "records remove-person"),
        "transfer": _shape(journal.TransferJson, "records import", "records export"),
        "tables": _shape(journal.TablesJson, "records export --tables"),
        "verified": _shape(journal.VerifiedJson, "records verify"),
        "backup": _shape(journal.BackupJson, "records backup", "records restore"),
        "rebuilt": _shape(journal.RebuiltJson, "records rebuild"),
        "migrated": _shape(journal.MigratedJson, "records migrate"),
        "granted": _shape(journal.GrantedJson, "records grant"),
        "serve": _shape(program.ServeJson, "serve"),
        "demo": _shape(program.DemoJson, "demo"),
        "completion": _shape(program.CompletionJson, "completion"),
        "figures": _shape(program.FiguresJson, "bench"),
        "rank-scores": _shape(program.RankScoresJson, "bench rank"),
    }
)
"""Names are addresses: of the schema files, and of the parts of the interface's own document."""
