"""Who types: the name of the account, when no other name is given."""

from __future__ import annotations

import getpass

from tankside.errors import BadInput


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
