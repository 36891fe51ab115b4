"""The register: every record is sound, and what is made otherwise than registered is stopped."""

from __future__ import annotations

import re
from typing import Any

import pytest
from pydantic import BaseModel, model_validator

from tankside.course.bodies.caution import Caution
from tankside.errors import (
    BadInput,
    CouldNotSave,
    Mistake,
    NotPossible,
    UnregisteredCode,
    refused_as,
)
from tankside.errors.code import CautionTarget, Code, Level
from tankside.errors.codes import amounts, courses, files, findings, program, typed, water
from tankside.errors.register import REGISTER

NAME = re.compile(r"[ES]-[A-Z0-9]+(-[A-Z0-9]+)*")
KINDS = {"bad input": BadInput, "not possible": NotPossible, "could not save": CouldNotSave}
REFUSALS = [code for code in REGISTER.values() if code.refusal is not None]
CAUTIONS = [code for code in REGISTER.values() if code.caution is not None]
WHOLE = {"given": "7", "needed": "at most 5", "next_step": "Type it again.", "field": "dose"}
POINTS = {"body": "main", "group": "tetra", "agent": "salt", "hour": 0, "claim_key": "a.b"}


def of(code: Code) -> str:
    return code.name


def refusal(code: str, kind: type[Mistake] | None = None, **more: Any) -> Mistake:
    said: dict[str, Any] = {name: text for name, text in (WHOLE | more).items() if text is not ...}
    return (kind or refused_as(code))(code, "This is too much.", **said)


def caution(code: str, level: Level | None = None, **more: Any) -> Caution:
    warned = REGISTER[code].caution if code in REGISTER else None
    said: dict[str, Any] = {"words": "It falls.", "why": "No air.", "what_instead": "Air stone in."}
    level = level or (warned.levels[0] if warned else Level.CARE)
    return Caution(level, code, **(said | POINTS | more))


def test_every_code_stands_once() -> None:
    areas = (typed, files, program, findings, amounts, water, courses)
    names = [code.name for area in areas for code in area.CODES]
    assert len(names) == len(set(names)) == len(REGISTER)
    assert [area.HERE for area in areas] == list(dict.fromkeys(c.area for c in REGISTER.values()))


@pytest.mark.parametrize("code", REGISTER.values(), ids=of)
def test_a_record_says_what_it_is_for(code: Code) -> None:
    assert NAME.fullmatch(code.name)
    assert re.fullmatch(r"[A-Z][^\n|]{10,59}[.?]", code.meaning)
    assert code.refusal or code.caution
    if code.caution:
        assert code.caution.levels
        assert code.caution.points_to


@pytest.mark.parametrize("code", CAUTIONS, ids=of)
def test_what_may_block_a_step_can_refuse_a_single_amount(code: Code) -> None:
    assert code.caution is not None
    assert Level.BLOCKED not in code.caution.levels or code.refusal is not None


@pytest.mark.parametrize("code", REFUSALS, ids=of)
def test_a_whole_refusal_is_made_in_its_own_kind_only(code: Code) -> None:
    assert code.refusal is not None
    made = refusal(code.name)
    assert type(made) is KINDS[code.refusal.kind] is refused_as(code.name)
    for other in {Mistake, *KINDS.values()} - {type(made)}:
        with pytest.raises(UnregisteredCode, match="refuses as"):
            refusal(code.name, other)


@pytest.mark.parametrize("blank", ["", "  \n"])
@pytest.mark.parametrize("part", ["needed", "next_step"])
def test_need_and_next_step_always_stand_in_a_refusal(part: str, blank: str) -> None:
    said: dict[str, Any] = {part: blank}
    with pytest.raises(UnregisteredCode, match=part.replace("_", " ")):
        refusal("E-NUM-04", **said)
    unsaid: dict[str, Any] = {part: ...}
    with pytest.raises(TypeError, match=part):
        refusal("E-NUM-04", **unsaid)


def test_a_refusal_says_what_is_wrong() -> None:
    with pytest.raises(UnregisteredCode, match="message"):
        BadInput("E-NUM-04", "", **WHOLE)


@pytest.mark.parametrize("code", REFUSALS, ids=of)
def test_what_was_given_is_left_out_only_where_the_register_says_why(code: Code) -> None:
    assert code.refusal is not None
    if code.refusal.nothing_given:
        assert refusal(code.name, given=...).given == ""
    else:
        with pytest.raises(UnregisteredCode, match="given"):
            refusal(code.name, given=...)


def test_nothing_typed_may_be_what_was_given() -> None:
    assert refusal("E-DATE-01", given="").given == ""
    assert refusal("E-NUM-06", given=None).given == "None"


@pytest.mark.parametrize("code", REFUSALS, ids=of)
def test_the_field_is_named_where_the_register_says_so(code: Code) -> None:
    assert code.refusal is not None
    if code.refusal.field:
        with pytest.raises(UnregisteredCode, match="field"):
            refusal(code.name, field="")
    else:
        assert refusal(code.name, field="").field == ""


@pytest.mark.parametrize("code", ["E-NOTHING-01", "", "E-NUM-", "e-num-01", "S-UV"])
def test_what_is_not_registered_refuses_nothing(code: str) -> None:
    with pytest.raises(UnregisteredCode, match="not registered as a refusal"):
        BadInput(code, "Wrong.", **WHOLE)
    with pytest.raises(UnregisteredCode, match="not registered as a refusal"):
        refused_as(code)


@pytest.mark.parametrize("code", ["S-NOTHING", "", "E-NUM-01"])
def test_what_is_not_registered_warns_of_nothing(code: str) -> None:
    with pytest.raises(UnregisteredCode, match="not registered as a caution"):
        caution(code)


@pytest.mark.parametrize("code", CAUTIONS, ids=of)
def test_a_caution_has_one_of_its_levels(code: Code) -> None:
    assert code.caution is not None
    for level in Level:
        if level in code.caution.levels:
            assert caution(code.name, level).level is level
        else:
            with pytest.raises(UnregisteredCode, match="does not stand as"):
                caution(code.name, level)


@pytest.mark.parametrize("code", CAUTIONS, ids=of)
@pytest.mark.parametrize("part", CautionTarget)
def test_a_caution_points_to_what_the_register_says(code: Code, part: CautionTarget) -> None:
    assert code.caution is not None
    left_out: dict[str, Any] = {part: None if part is CautionTarget.HOUR else ""}
    left_out = {"claim_key" if part is CautionTarget.CLAIM else part: left_out[part]}
    if part in code.caution.points_to:
        with pytest.raises(UnregisteredCode, match=part):
            caution(code.name, **left_out)
    else:
        assert caution(code.name, **left_out)


@pytest.mark.parametrize("part", ["words", "why", "what_instead"])
def test_a_caution_says_what_is_the_matter_why_and_what_to_do_instead(part: str) -> None:
    unsaid: dict[str, Any] = {part: ""}
    with pytest.raises(UnregisteredCode, match=part.replace("_", " ")):
        caution("S-PH", **unsaid)


def test_a_fault_of_the_program_is_not_taken_for_a_fault_of_what_was_typed() -> None:
    """The checks of an entry turn a ValueError or an AssertionError into a refusal."""

    class Entry(BaseModel):
        @model_validator(mode="after")
        def refuse(self) -> Entry:
            raise BadInput("E-NOTHING-01", "Wrong.", **WHOLE)

    with pytest.raises(UnregisteredCode):
        Entry()
