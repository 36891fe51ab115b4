"""What nobody placed in one of several waters: no answer for any water rests on it."""

from __future__ import annotations

from tankside.case import CaseView
from tankside.errors import NotPossible
from tankside.intake.whereabouts import refuse_homeless
from tankside.quantity.dates import entry_moment_words


def refuse_unplaced(view: CaseView) -> None:
    """Refuse to answer while nobody said where animals live or which water was changed.

    Raises:
        NotPossible: E-DOSE-20, naming the group or the entry, and how to say it.
    """
    refuse_homeless(view)
    for group in view.stock.values():
        if group.left_behind is not None:
            raise _refused(
                f"Some {group.description.name} came to another water, and nobody said where the "
                "others are.",
                f"entry {group.left_behind}",
                "a group of their own for those that were moved, and the count of the rest",
                f"stock {group.id} ... --correct {group.left_behind} --reason ...",
                "stock",
            )
    for event in view.events:
        if event.water_changed is None or view.system_meant(event.system) or not view.systems:
            continue
        raise _refused(
            f"Nobody said in which water {event.water_changed.value} {event.water_changed.unit} "
            "were changed.",
            f"entry {event.id}, {entry_moment_words(event.moment)}: {event.what}",
            "one of: " + ", ".join(view.systems),
            f'event what="{event.what}" changed="{event.water_changed.value} '
            f'{event.water_changed.unit}" system=... --correct {event.id} --reason ...',
            "event",
        )


def _refused(message: str, entered: str, needed: str, words: str, field: str) -> NotPossible:
    return NotPossible(
        "E-DOSE-20",
        message,
        given=entered,
        needed=needed,
        next_step=f"Say it: tankside case add CASE {words}",
        field=field,
    )
