"""Requests and results as plain dictionaries, ready for JSON.

Reading is strict: an unknown key, a missing value or a value of the wrong type is named by its path, and every
problem is reported, not only the first.
"""

from __future__ import annotations

import math
from dataclasses import MISSING, Field, fields, is_dataclass
from types import NoneType, UnionType
from typing import Any, Literal, TypeVar, Union, get_args, get_origin, get_type_hints

from sizing.errors import InputError, InputErrors
from sizing.study.request import StudyRequest
from sizing.study.result import StudyResult

T = TypeVar("T")
Json = dict[str, Any]


def request_from_dict(data: Any) -> StudyRequest:
    """Read a request; raises InputErrors. Values are checked for type here, for sense by ``check_request``."""
    return read(StudyRequest, data)


def request_to_dict(request: StudyRequest) -> Json:
    """A request as a dictionary that ``request_from_dict`` reads back to an equal request."""
    plain: Json = to_plain(request)
    return plain


def result_from_dict(data: Any) -> StudyResult:
    """Read a result that ``result_to_dict`` wrote; raises InputErrors."""
    return read(StudyResult, data)


def result_to_dict(result: StudyResult) -> Json:
    """A result as a dictionary; keys in the order of the dataclasses, the same for equal results."""
    plain: Json = to_plain(result)
    return plain


def to_plain(value: Any) -> Any:
    """Dataclasses to dictionaries, tuples to lists, NumPy numbers to Python's; a number that isn't finite to None."""
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: to_plain(getattr(value, field.name)) for field in fields(value)}
    if isinstance(value, (tuple, list)):
        return [to_plain(item) for item in value]
    if hasattr(value, "item"):
        value = value.item()
    if isinstance(value, float) and not math.isfinite(value):
        return None
    return value


def read(kind: type[T], data: Any) -> T:
    """Build a dataclass from plain data; raises InputErrors with every problem found."""
    problems: list[InputError] = []
    value: Any = _read("", kind, data, problems)
    if problems:
        raise InputErrors(problems)
    built: T = value
    return built


_HINTS: dict[Any, dict[str, Any]] = {}


def hints(kind: type[Any]) -> dict[str, Any]:
    """Resolved types of a dataclass's fields (worked out once)."""
    if kind not in _HINTS:
        _HINTS[kind] = get_type_hints(kind)
    return _HINTS[kind]


def is_required(field: Field[Any]) -> bool:
    return field.default is MISSING and field.default_factory is MISSING


def _read(path: str, kind: Any, data: Any, problems: list[InputError]) -> Any:
    origin = get_origin(kind)
    if is_dataclass(kind) and isinstance(kind, type):
        return _read_dataclass(path, kind, data, problems)
    if origin in (Union, UnionType):
        options = [option for option in get_args(kind) if option is not NoneType]
        if data is None and len(options) < len(get_args(kind)):
            return None
        return _read(path, options[0], data, problems)
    if origin is Literal:
        allowed = get_args(kind)
        if data not in allowed or isinstance(data, bool):
            _refuse(problems, path, f"{data!r} is none of {', '.join(repr(option) for option in allowed)}")
        return data
    if origin is tuple:
        return _read_tuple(path, get_args(kind), data, problems)
    return _read_scalar(path, kind, data, problems)


def _read_dataclass(path: str, kind: type[Any], data: Any, problems: list[InputError]) -> Any:
    if not isinstance(data, dict):
        _refuse(problems, path, f"is {_plain_type(data)} where an object belongs")
        return None
    before = len(problems)
    known = {field.name: field for field in fields(kind)}
    for key in data:
        if key not in known:
            _refuse(problems, _join(path, str(key)), "is not a field that exists here")
    values: dict[str, Any] = {}
    for name, field in known.items():
        if name in data:
            values[name] = _read(_join(path, name), hints(kind)[name], data[name], problems)
        elif is_required(field):
            _refuse(problems, _join(path, name), "is missing")
    return kind(**values) if len(problems) == before else None


def _read_tuple(path: str, items: tuple[Any, ...], data: Any, problems: list[InputError]) -> Any:
    if not isinstance(data, (list, tuple)):
        _refuse(problems, path, f"is {_plain_type(data)} where a list belongs")
        return ()
    if len(items) == 2 and items[1] is Ellipsis:
        return tuple(_read(f"{path}[{i}]", items[0], item, problems) for i, item in enumerate(data))
    if len(items) != len(data):
        _refuse(problems, path, f"has {len(data)} values where {len(items)} belong")
        return ()
    pairs = zip(items, data, strict=True)
    return tuple(_read(f"{path}[{i}]", item, value, problems) for i, (item, value) in enumerate(pairs))


def _read_scalar(path: str, kind: Any, data: Any, problems: list[InputError]) -> Any:
    if kind is bool:
        if not isinstance(data, bool):
            _refuse(problems, path, f"is {_plain_type(data)} where true or false belongs")
        return data
    if kind is str:
        if not isinstance(data, str):
            _refuse(problems, path, f"is {_plain_type(data)} where text belongs")
        return data
    whole = kind is int
    if isinstance(data, bool) or not isinstance(data, (int, float)):
        _refuse(problems, path, f"is {_plain_type(data)} where a {'whole ' if whole else ''}number belongs")
        return data
    if whole:
        if isinstance(data, float) and not data.is_integer():
            _refuse(problems, path, f"{data:g} is not a whole number")
            return data
        return int(data)
    try:
        return float(data)
    except OverflowError:
        _refuse(problems, path, "is too large a number")
        return data


def _refuse(problems: list[InputError], path: str, message: str) -> None:
    problems.append(InputError(path or "request", message))


def _join(path: str, name: str) -> str:
    return f"{path}.{name}" if path else name


def _plain_type(data: Any) -> str:
    if data is None:
        return "null"
    names = {bool: "true or false", str: "text", int: "a number", float: "a number", list: "a list", dict: "an object"}
    return names.get(type(data), type(data).__name__)
