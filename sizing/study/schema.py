"""The form of requests and results as JSON Schema, read off the dataclasses.

``schema.json`` beside this file holds the output, for whoever talks to the module from outside; a test keeps the two
the same. Run ``python -m sizing.study.schema`` to write it anew.
"""

from __future__ import annotations

import ast
import inspect
import json
import textwrap
from dataclasses import MISSING, fields, is_dataclass
from pathlib import Path
from types import NoneType, UnionType
from typing import Any, Literal, Union, get_args, get_origin

from sizing.study.codec import hints, is_required, to_plain
from sizing.study.request import StudyRequest
from sizing.study.result import StudyResult

DIALECT = "https://json-schema.org/draft/2020-12/schema"
SCHEMA_FILE = Path(__file__).with_name("schema.json")
SCALARS: dict[Any, str] = {bool: "boolean", int: "integer", float: "number", str: "string"}


def study_schema() -> dict[str, Any]:
    """JSON Schema (2020-12) of a request, with the result's under ``$defs/StudyResult``."""
    definitions: dict[str, Any] = {}
    _define(StudyRequest, definitions)
    _define(StudyResult, definitions)
    return {
        "$schema": DIALECT,
        "title": "Study request",
        "description": "What a study is asked. Its answer is $defs/StudyResult. Units stand in the names.",
        "$ref": "#/$defs/StudyRequest",
        "$defs": dict(sorted(definitions.items())),
    }


def result_schema() -> dict[str, Any]:
    """JSON Schema of a result."""
    schema = study_schema()
    return {**schema, "title": "Study result", "$ref": "#/$defs/StudyResult"}


def schema_text() -> str:
    """The text of ``schema.json``."""
    return json.dumps(study_schema(), indent=2, ensure_ascii=False) + "\n"


def _define(kind: type[Any], definitions: dict[str, Any]) -> dict[str, Any]:
    if kind.__name__ not in definitions:
        definitions[kind.__name__] = {}
        notes = _field_notes(kind)
        properties: dict[str, Any] = {}
        for field in fields(kind):
            schema = _schema(hints(kind)[field.name], definitions)
            if field.name in notes:
                schema = {**schema, "description": notes[field.name]}
            if field.default is not MISSING:
                schema = {**schema, "default": to_plain(field.default)}
            properties[field.name] = schema
        definitions[kind.__name__] = {
            "type": "object",
            "description": " ".join(inspect.cleandoc(kind.__doc__ or "").split()),
            "properties": properties,
            "required": [field.name for field in fields(kind) if is_required(field)],
            "additionalProperties": False,
        }
    return {"$ref": f"#/$defs/{kind.__name__}"}


def _schema(kind: Any, definitions: dict[str, Any]) -> dict[str, Any]:
    origin = get_origin(kind)
    if is_dataclass(kind) and isinstance(kind, type):
        return _define(kind, definitions)
    if origin is Literal:
        return {"enum": list(get_args(kind))}
    if origin in (Union, UnionType):
        return {"anyOf": [_schema(option, definitions) for option in get_args(kind)]}
    if kind is NoneType:
        return {"type": "null"}
    if origin is tuple:
        items = get_args(kind)
        if len(items) == 2 and items[1] is Ellipsis:
            return {"type": "array", "items": _schema(items[0], definitions)}
        return {
            "type": "array",
            "prefixItems": [_schema(item, definitions) for item in items],
            "minItems": len(items),
            "maxItems": len(items),
        }
    return {"type": SCALARS[kind]}


def _field_notes(kind: type[Any]) -> dict[str, str]:
    """The strings that stand under a dataclass's fields."""
    tree = ast.parse(textwrap.dedent(inspect.getsource(kind))).body[0]
    assert isinstance(tree, ast.ClassDef)
    notes: dict[str, str] = {}
    for field, below in zip(tree.body, tree.body[1:], strict=False):
        if (
            isinstance(field, ast.AnnAssign)
            and isinstance(field.target, ast.Name)
            and isinstance(below, ast.Expr)
            and isinstance(below.value, ast.Constant)
            and isinstance(below.value.value, str)
        ):
            notes[field.target.id] = " ".join(below.value.value.split())
    return notes


if __name__ == "__main__":
    SCHEMA_FILE.write_text(schema_text(), encoding="utf-8")
