"""Requests made up from the interface's own document: answered or refused as it says, no fault.

Addresses, parameters, bodies and what may be answered come from the OpenAPI document alone; an
address or a key that is new is asked for by itself. Values are those that the document gives as
examples, what its schemas allow, and what they do not.
"""

from __future__ import annotations

import json
import shutil
import time
from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import Any
from urllib.parse import quote

import jsonschema
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from tests.served_pages import served

from tankside.errors import NotPossible
from tankside.records.case_file import read_case
from tankside.report.entry_form import kinds_to_enter
from tankside.web.api import long_work
from tankside.web.api.address import API
from tankside.web.api.interface import document_text
from tankside.web.guard import headers_for

from .conftest import FILE, PHOTO
from .test_hostile import PAYLOADS

FAST, SLOW = 300, 20_000
DOCUMENT = json.loads(document_text())
PARTS = DOCUMENT["components"]["schemas"]
WAYS = [
    (method, path, way) for path, ways in DOCUMENT["paths"].items() for method, way in ways.items()
]
LONG = [(method, path, way) for method, path, way in WAYS if "202" in way["responses"]]
CASES = [FILE, "no-course.jsonl", "broken.jsonl"]
"""What the document cannot know: which cases are served."""
KINDS = [word for word, _, _ in kinds_to_enter()]
ODD = st.one_of(
    st.sampled_from(PAYLOADS),
    st.sampled_from(
        ("", "-1", "25,5", "1e999", "nan", "²", "٣", "?", "yes", "platy", "main", "ICH",
         "2026-03-18", "2026-03-18T25:00", "\x00", "\u202e", "mg/L as N", "../x", "5 min",
         "spots_visible=yes", "temperature=25 C", "agent=salt", "sodium_chloride=2 g/L")
    ),
    st.text(max_size=30),
)  # fmt: skip
WRONG = st.one_of(
    st.none(), st.booleans(), st.integers(), st.floats(-1e300, 1e300),
    st.text(max_size=5),
    st.lists(st.integers(), max_size=2), st.dictionaries(st.text(max_size=3), st.none()),
)  # fmt: skip
ANSWERED: Counter[int] = Counter()


def resolved(schema: Mapping[str, Any]) -> Mapping[str, Any]:
    while "$ref" in schema:
        schema = PARTS[schema["$ref"].rpartition("/")[2]]
    return schema


def values(schema: Mapping[str, Any], name: str = "") -> st.SearchStrategy[Any]:
    """Return what a schema allows, its examples first."""
    schema = resolved(schema)
    examples = list(schema.get("examples", ()))
    if name == "case":
        examples = CASES
    elif name == "kind":
        examples += KINDS
    some = _of_type(schema)
    if not examples:
        return some
    return st.integers(0, 9).flatmap(lambda n: st.sampled_from(examples) if n else some)


def _of_type(schema: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    if "enum" in schema or "const" in schema:
        return st.sampled_from(schema.get("enum", [schema.get("const")]))
    if "anyOf" in schema:
        return st.one_of(*(values(each) for each in reversed(schema["anyOf"])))
    kind = schema.get("type")
    if kind == "object":
        return _object(schema)
    if kind == "array":
        return st.lists(values(schema.get("items", {})), max_size=3)
    if kind == "integer":
        return st.integers(schema.get("minimum", -9), min(schema.get("maximum", 9), 10**6))
    if kind == "boolean":
        return st.booleans()
    if kind == "null":
        return st.none()
    return ODD.map(lambda text: text[: schema.get("maxLength", 300)])


def _object(schema: Mapping[str, Any]) -> st.SearchStrategy[Any]:
    if "properties" not in schema:
        inner = values(schema["additionalProperties"])
        names = schema.get("propertyNames", {}).get("enum", ["spots_visible", "flashing", "x"])
        return st.dictionaries(st.sampled_from(names), inner, max_size=3)
    keys = {key: values(each, key) for key, each in schema["properties"].items()}
    needed = {key: keys[key] for key in schema.get("required", ())}
    more = {key: each for key, each in keys.items() if key not in needed}
    usual = {key: each for key, each in more.items() if schema["properties"][key].get("examples")}
    shapes = (
        st.fixed_dictionaries(needed),
        st.fixed_dictionaries(needed | usual),
        st.fixed_dictionaries(needed, optional=more),
    )
    return st.one_of(*shapes)


@st.composite
def requests(
    draw: st.DrawFn, ways: Sequence[tuple[str, str, Mapping[str, Any]]] = WAYS
) -> tuple[str, str, dict[str, Any], Any, Mapping[str, Any]]:
    """Draw method, address, query and body of a request, with what may be answered."""
    method, path, way = draw(st.sampled_from(ways))
    query: dict[str, Any] = {}
    for parameter in way.get("parameters", ()):
        name, needed = parameter["name"], parameter.get("required", False)
        value = draw(values(parameter["schema"], name))
        if draw(st.integers(0, 19)) == 0:
            value = draw(ODD)
        if parameter["in"] == "path":
            path = path.replace("{" + name + "}", quote(str(value)[:300] or "x", safe=""))
        elif value is not None and (needed or draw(st.integers(0, 2)) == 0):
            query[name] = str(value).lower() if isinstance(value, bool) else value
    body = None
    if method == "post":
        schema = way["requestBody"]["content"]["application/json"]["schema"]
        body = draw(values(schema))
        if draw(st.integers(0, 7)) == 0:
            body = draw(st.one_of(WRONG, st.just({**body, draw(ODD): draw(WRONG)})))
        elif body and draw(st.integers(0, 7)) == 0:
            body = {**body, draw(st.sampled_from(sorted(body))): draw(WRONG)}
    return method, path, query, body, way["responses"]


@pytest.fixture
def no_long_work(monkeypatch: pytest.MonkeyPatch) -> None:
    """Refuse at once what takes seconds; the slow tier works it out."""
    refused = NotPossible("E-PLAN-02", "No fish.", given="no fish", needed="fish",
                          next_step="Say who lives there.", field="stock")  # fmt: skip

    def refuse(*_: object, **__: object) -> None:
        raise refused

    for name in ("plan_by_cause", "forecast_by_cause", "follow_by_cause"):
        monkeypatch.setattr(long_work, name, refuse)


@pytest.fixture
def asked(folder: Path, tmp_path: Path) -> Iterator[Callable[..., int]]:
    """Give what asks for one request, each time of the cases as they were."""
    with served(tmp_path, raises=False) as client:

        def ask(
            method: str, path: str, query: dict[str, Any], body: Any, may: Mapping[str, Any]
        ) -> int:
            for name in CASES:
                shutil.copy(folder / name, tmp_path / name)
            sent = {} if body is None else {"json": body}
            answer = client.request(method.upper(), f"{API}{path}", params=query, **sent)
            ANSWERED[answer.status_code] += 1
            assert answer.status_code < 500 or answer.status_code == 507, answer.text[:500]
            assert "Traceback" not in answer.text
            wanted = headers_for(answer.url.path)
            assert {name: answer.headers.get(name) for name in wanted} == wanted
            _is_as_said(answer.status_code, answer.json(), may)
            with suppress(FileNotFoundError):
                shutil.rmtree(tmp_path / ".drafts")
            for made in set(tmp_path.glob("*.jsonl")) - {tmp_path / name for name in CASES}:
                made.unlink()
            assert read_case(tmp_path / FILE).version >= PHOTO
            return answer.status_code

        yield ask


def _is_as_said(status: int, answer: Any, may: Mapping[str, Any]) -> None:
    """Hold an answer to what the document says of its status."""
    assert str(status) in may, (status, answer)
    schema = may[str(status)]["content"]["application/json"]["schema"]
    validator(json.dumps(schema)).validate(answer)


@cache
def validator(schema: str) -> jsonschema.Draft202012Validator:
    whole = {**json.loads(schema), "components": DOCUMENT["components"]}
    return jsonschema.Draft202012Validator(whole)


SETTINGS = settings(
    deadline=None, database=None, suppress_health_check=list(HealthCheck), print_blob=False
)


@pytest.mark.usefixtures("no_long_work")
@settings(SETTINGS, max_examples=FAST, derandomize=True)
@given(request=requests())
def test_made_up_requests_meet_no_fault(asked: Any, request: Any) -> None:
    asked(*request)


def test_many_of_them_are_answered_and_many_refused() -> None:
    if not ANSWERED:
        pytest.skip("the requests are made by the test before")
    good = ANSWERED[200] + ANSWERED[201] + ANSWERED[202]
    assert good > FAST // 5
    assert ANSWERED[422] > FAST // 10


@pytest.mark.slow
@pytest.mark.timeout(7200)
@pytest.mark.usefixtures("no_long_work")
@settings(SETTINGS, max_examples=SLOW)
@given(request=requests())
def test_twenty_thousand_made_up_requests_meet_no_fault(asked: Any, request: Any) -> None:
    asked(*request)


@pytest.mark.slow
@pytest.mark.timeout(3600)
@settings(SETTINGS, max_examples=40)
@given(request=requests(LONG))
def test_what_takes_seconds_is_worked_out_or_refused(asked: Any, request: Any) -> None:
    """The same for the addresses that work for seconds, each asked for until it answers."""
    method, path, query, body, may = request
    query = query | {"runs": 16} if path.endswith("/forecast") else query
    for _ in range(3000):
        if asked(method, path, query, body, may) != 202:
            return
        time.sleep(0.1)
    raise AssertionError("no answer")
