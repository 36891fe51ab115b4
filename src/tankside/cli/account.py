"""Who types: the name of the account, when no other name is given."""

from __future__ import annotations

import getpass
from typing import Annotated

import typer

from tankside.case.dated import ROLES
from tankside.errors import BadInput

Role = Annotated[
    str | None,
    typer.Option(
        help="as what you write: keeper, practitioner or student; kept with each entry",
        envvar="TANKSIDE_ROLE",
    ),
]
"""As what somebody writes."""


def role_of(typed: str | None) -> str | None:
    """Return the role as it is kept; None where nobody said.

    Raises:
        BadInput: E-WORD-02 for another word.
    """
    if typed in (None, "", *ROLES):
        return typed or None
    raise BadInput(
        "E-WORD-02",
        "This is no role.",
        given=typed,
        needed="one of: " + ", ".join(ROLES),
        next_step="Correct --role or the variable TANKSIDE_ROLE; nothing was saved.",
        field="role",
    )


def who_types(by: str | None = None) -> str:
    """Return who makes an entry.

    Args:
        by: the name given with ``--by``, if any.

    Raises:
        BadInput: E-CLI-01 when no name is given and the system knows none for this account.
    """
    try:
        return by or getpass.getuser()
    except (ImportError, KeyError, OSError):
        # Python asks for the module pwd, which Windows lacks, when no variable names the account;
        # an account without an entry there is a KeyError, from Python 3.13 an OSError.
        raise BadInput(
            "E-CLI-01",
            "The system does not say who you are.",
            needed="a name to write beside the entry",
            next_step="Add --by NAME, or set the environment variable USERNAME.",
            field="by",
        ) from None
