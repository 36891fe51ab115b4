"""What the named house checks look at: the base as read, before any file is refused."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from tankside.claims import Claim, Source
from tankside.library.problem import Problem
from tankside.library.subject_files import SubjectFile


@dataclass(frozen=True, slots=True)
class House:
    """The base under check.

    Args:
        root: the data folder.
        subjects: every subject file.
        sources: works by key.
        register: (file, key) of every row of the register, in file order.
    """

    root: Path
    subjects: tuple[SubjectFile, ...]
    sources: Mapping[str, Source]
    register: tuple[tuple[str, str], ...]

    def claims(self) -> Iterator[tuple[SubjectFile, Claim]]:
        """Yield every claim with its file, the rejected ones left out."""
        for subject in self.subjects:
            for claim in subject.claims:
                if not claim.rejected_because:
                    yield subject, claim

    def of_kind(self, kind: str) -> Iterator[SubjectFile]:
        """Yield the subject files of one folder."""
        return (subject for subject in self.subjects if subject.kind == kind)

    def short(self, subject: SubjectFile, claim: Claim) -> str:
        """Return the key as written in the file."""
        return claim.key.split(".", 2)[2]


Check = Callable[[House], Iterable[Problem]]
