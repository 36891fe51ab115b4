"""The one register of codes, and the check of every refusal and caution against it.

A refusal or a caution that is not as the register says is a fault of the program, found where it
is made. The check looks up one entry and asks whether texts are there; it judges no content.
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import chain
from types import MappingProxyType

from tankside.errors.code import CautionTarget, Code, Level, RefusalKind, UnregisteredCode
from tankside.errors.codes import amounts, courses, files, findings, program, typed, water

REGISTER: Mapping[str, Code] = MappingProxyType(
    {
        code.name: code
        for code in chain.from_iterable(
            area.CODES for area in (typed, files, program, findings, amounts, water, courses)
        )
    }
)
"""Every code by its name, in the order of its area."""


def kind_of(name: str) -> RefusalKind:
    """Return how a request is refused with a code.

    Raises:
        UnregisteredCode: the code is not registered, or refuses nothing.
    """
    code = REGISTER.get(name)
    if code is None or code.refusal is None:
        raise UnregisteredCode(f"{name} is not registered as a refusal")
    return code.refusal.kind


def check_refusal(
    name: str, kind: RefusalKind | None, *, texts: Mapping[str, str], says_given: bool, field: str
) -> None:
    """Hold a refusal to what the register says of its code.

    Args:
        name: its code.
        kind: how it refuses.
        texts: the texts that every refusal has, by what they are.
        says_given: whether it says what was given, be it nothing.
        field: name of the box or option.

    Raises:
        UnregisteredCode: another kind than registered, or a part is missing.
    """
    if kind_of(name) is not kind:
        raise UnregisteredCode(f"{name} refuses as {kind_of(name)}, not as {kind}")
    refusal = REGISTER[name].refusal
    missing = [what for what, text in texts.items() if not text.strip()]
    if refusal is not None and refusal.field and not field:
        missing.append("field")
    if refusal is not None and not says_given and not refusal.nothing_given:
        missing.append("given")
    if missing:
        raise UnregisteredCode(f"{name} is refused without: {', '.join(missing)}")


def check_caution(
    name: str, level: Level, *, texts: Mapping[str, str], points_to: Mapping[CautionTarget, object]
) -> None:
    """Hold a caution to what the register says of its code.

    Args:
        name: its code.
        level: how much it weighs.
        texts: the texts that every caution has, by what they are.
        points_to: what it points to; an hour is there when it is not None.

    Raises:
        UnregisteredCode: it is no caution, has another level, or a part is missing.
    """
    code = REGISTER.get(name)
    if code is None or code.caution is None:
        raise UnregisteredCode(f"{name} is not registered as a caution")
    if level not in code.caution.levels:
        raise UnregisteredCode(f"{name} does not stand as {level}")
    missing = [what for what, text in texts.items() if not text]
    for part in code.caution.points_to:
        target = points_to[part]
        if target is None or target == "":
            missing.append(part)
    if missing:
        raise UnregisteredCode(f"{name} warns without: {', '.join(missing)}")
