"""Hold a JSON answer to its declared shape; a key that is not declared is a fault too."""

from __future__ import annotations

from functools import cache
from typing import Any

import jsonschema

from tankside.report.shapes.catalogue import ANSWERS
from tankside.report.shapes.json_schema import answer_schema


@cache
def validator(name: str) -> jsonschema.Draft202012Validator:
    shape = ANSWERS[name]
    return jsonschema.Draft202012Validator(
        answer_schema(name, shape.shape, shape.version, closed=True)
    )


def is_shaped(answer: Any, name: str) -> None:
    """Fail when an answer is not of the shape that the catalogue declares under a name."""
    validator(name).validate(answer)
