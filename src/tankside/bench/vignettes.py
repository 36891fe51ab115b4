"""Published cases coded as findings: read from a file, for all findings and for gross signs."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from tankside.claims.diagnosis import DiagnosisFacts, Role
from tankside.diagnose import NONE, OUTSIDE, Evidence
from tankside.errors import BadInput
from tankside.intake.findings_file import answers_of
from tankside.quantity.strict_json import parse_json
from tankside.records.case_store import read_case
from tankside.services.differential_case import confirmed, evidence_of, own_idea

GROSS = (Role.CONTEXT, Role.SIGN)
"""History and what is seen without a test or a microscope."""


@dataclass(frozen=True, slots=True)
class Vignette:
    """One published case.

    Args:
        id: its identifier in the file.
        confirmed: what was proven; ``("NONE",)`` for a healthy fish.
        evidence: all findings, several answers where the text allows several.
        own_idea: what the practitioner wrote down first ("" when not known).
    """

    id: str
    confirmed: tuple[str, ...]
    evidence: Evidence
    own_idea: str = ""

    def gross(self, facts: DiagnosisFacts) -> Evidence:
        """Return context and signs only."""
        answers = self.evidence.answers
        kept = {n: g for n, g in answers.items() if facts.findings[n].role in GROSS}
        return Evidence(kept, self.evidence.unconfirmed)


def read_vignettes(path: Path, facts: DiagnosisFacts) -> tuple[Vignette, ...]:
    """Read a file of vignettes.

    Each entry holds ``id``, ``confirmed`` ([] for healthy, ``NOT_IN_LIST`` for a cause outside
    the list), ``findings`` and, if any, ``soft_findings`` whose answers are sets and
    ``added_findings``, coded later in words that were not there at first. Other fields are for
    the reader.

    Args:
        path: the file.
        facts: what the differential knows; conditions, findings and answers are checked.

    Raises:
        BadInput: the file is missing or has another shape.
    """
    try:
        content = parse_json(path.read_bytes())
    except OSError:
        raise _refuse(path.name, "a file that can be read", "E-PATH-02") from None
    entries = content.get("vignettes") if isinstance(content, dict) else None
    if not isinstance(entries, list) or not entries:
        raise _refuse(type(content).__name__, 'an object with "vignettes": [...]')
    return tuple(_vignette(entry, facts) for entry in entries)


def _vignette(entry: object, facts: DiagnosisFacts) -> Vignette:
    if not isinstance(entry, dict):
        raise _refuse(type(entry).__name__, "an object for each case")
    name = str(entry.get("id", ""))
    confirmed = entry.get("confirmed")
    firm, soft = entry.get("findings"), entry.get("soft_findings", {})
    if not isinstance(confirmed, list) or not isinstance(firm, dict) or not isinstance(soft, dict):
        raise _refuse(name, "confirmed (a list), findings and soft_findings (objects)")
    for condition in confirmed:
        if condition not in facts.conditions and condition != OUTSIDE:
            raise _refuse(f"{name}: {condition}", "a condition of the list, or NOT_IN_LIST")
    added = entry.get("added_findings", {})
    if not isinstance(added, dict):
        raise _refuse(name, "added_findings as an object")
    typed = {**soft, **firm, **added}
    answers = {finding: answers_of(finding, answer) for finding, answer in typed.items()}
    for finding in answers:
        if finding not in facts.findings:
            raise _refuse(f"{name}: {finding}", "a finding of the list")
    return Vignette(name, tuple(confirmed) or (NONE,), Evidence(answers))


def read_cases(folder: Path) -> tuple[Vignette, ...]:
    """Read the case files of a folder in which something was confirmed.

    So the record of the practice itself becomes the test that may one day calibrate the words.

    Args:
        folder: folder of case files.

    Raises:
        BadInput: a file is refused, or no case has a confirmed condition.
    """
    views = {path.stem: read_case(path).view() for path in sorted(folder.glob("*.jsonl"))}
    cases = tuple(
        Vignette(name, confirmed(view), evidence_of(view), own_idea(view))
        for name, view in views.items()
        if confirmed(view)
    )
    if not cases:
        raise _refuse(folder.name, "a folder of case files with a confirmed condition")
    return cases


def _refuse(value: object, needed: str, code: str = "E-BENCH-01") -> BadInput:
    return BadInput(
        code,
        "This is not a file of vignettes.",
        given=value,
        needed=needed,
        next_step="Correct the file.",
        field="vignettes",
    )
