"""The published JSON Schema of the case file, made from the models themselves.

    python -m tankside.case.schema > docs/schema/case.v1.json

writes it anew after a change of the models; a test holds the file to this.
"""

from __future__ import annotations

import json
import sys

from tankside.case.catalogue import CATALOGUE, Catalogue
from tankside.case.codec import FORMAT, VERSION


def case_schema(catalogue: Catalogue = CATALOGUE) -> dict[str, object]:
    """Return the JSON Schema of one line of a case file: the header or an entry.

    What a schema cannot say (numbering, units that fit, corrections that point back, counts
    that fit one another) is checked by the program when it reads the file.
    """
    entry = catalogue.adapter.json_schema(ref_template="#/$defs/{model}")
    definitions = entry.pop("$defs")
    header = {
        "type": "object",
        "properties": {"format": {"const": FORMAT}, "version": {"const": VERSION}},
        "required": ["format", "version"],
        "additionalProperties": False,
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"One line of a {FORMAT} file, version {VERSION}",
        "description": "A case file is JSON Lines in UTF-8: the header first, then one entry a "
        "line, numbered 1, 2, 3 without gap. Keys are sorted, absent means not asked.",
        "oneOf": [{"$ref": "#/$defs/Header"}, {"$ref": "#/$defs/Entry"}],
        "$defs": {"Header": header, "Entry": entry, **definitions},
    }


def schema_text() -> str:
    """Return the schema as the text of the published file."""
    return json.dumps(case_schema(), indent=1, sort_keys=True, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    sys.stdout.write(schema_text())
