"""The JSON door refuses what the standard reader lets through."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tankside.errors import BadInput
from tankside.quantity import whole_count
from tankside.quantity.strict_json import parse_json


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ('{"a": NaN}', "E-NUM-06"),
        ('{"a": Infinity}', "E-NUM-06"),
        ('{"a": -Infinity}', "E-NUM-06"),
        ('{"a": 1e400}', "E-NUM-05"),
        ('{"a": -1e400}', "E-NUM-05"),
        ('{"a": 1, "a": 2}', "E-DUP-01"),
        ('{"a": {"b": 1, "b": 1}}', "E-DUP-01"),
        ("{", "E-JSON-01"),
        ("", "E-JSON-01"),
        ("{'a': 1}", "E-JSON-01"),
        ("[1, 2,]", "E-JSON-01"),
        ("[" * 25 + "]" * 25, "E-JSON-01"),
        ("[" * 100_000, "E-JSON-01"),
        (b'"\xff"', "E-JSON-02"),
        (b" " * 10_000_001, "E-JSON-02"),
    ],
)
def test_bad_json_is_refused_with_its_code(text: bytes | str, code: str) -> None:
    with pytest.raises(BadInput) as refused:
        parse_json(text)
    assert refused.value.code == code


def test_brackets_inside_text_do_not_count_as_depth() -> None:
    deep = '"' + "[" * 50 + '\\"' + "{" * 50 + '"'
    assert parse_json(deep) == "[" * 50 + '"' + "{" * 50
    assert parse_json("[" * 24 + "]" * 24) is not None


@pytest.mark.parametrize("value", ["5", True, False, None, [5]])
def test_a_count_is_a_plain_number_in_json(value: object) -> None:
    with pytest.raises(BadInput, match="E-NUM-06"):
        whole_count(value, field="spots")


@pytest.mark.parametrize("value", [-1, 5.5, 5.0, 10**9])
def test_a_count_that_cannot_be_is_refused_in_json(value: object) -> None:
    with pytest.raises(BadInput, match="E-COUNT-01"):
        whole_count(value, field="spots")


@given(st.binary(max_size=60))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    code = ""
    try:
        parse_json(data)
    except BadInput as refused:
        code = refused.code
    assert code in ("", "E-JSON-01", "E-JSON-02", "E-NUM-05", "E-NUM-06", "E-DUP-01")
