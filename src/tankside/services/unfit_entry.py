"""What a case may not hold is refused; what judges it is imported when it is needed."""

from __future__ import annotations

from collections.abc import Sequence

from tankside.case import Correction, Entry, fold
from tankside.case.done import ActionDone
from tankside.case.medicine import DoseAsked, LabelRead
from tankside.library import load


def refuse_unfit(entries: Sequence[Entry]) -> None:
    """Refuse the last of some entries where it holds what cannot stand.

    That is a container, an amount asked for, or something done that is tied to nothing.

    Raises:
        BadInput: what the ``dose`` command would answer to the same.
        NotPossible: the same.
    """
    last = entries[-1]
    entry = last.replacement if isinstance(last, Correction) else last
    if isinstance(entry, LabelRead):
        from tankside.intake.labels import label_of

        label_of(load(), entry, entry.moment)
    if isinstance(entry, DoseAsked):
        from tankside.services.dose_case import amount_of

        amount_of(entry, fold(entries))
    if isinstance(entry, ActionDone):
        from tankside.intake.answer_check import refuse_answer

        refuse_answer(fold(entries), load(), entry)
