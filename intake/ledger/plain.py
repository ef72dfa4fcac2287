"""Frozen values ↔ what JSON can say, driven by the type hints of their classes."""

import types
from collections.abc import Callable, Mapping
from dataclasses import MISSING, fields
from enum import StrEnum
from math import isfinite
from types import MappingProxyType, UnionType
from typing import Any, NamedTuple, Union, get_args, get_origin, get_type_hints

from intake.table.resins import Reason

Turn = Callable[[Any], Any]
"""Turns one value from plain to typed, or back."""


class NotUnderstoodError(ValueError):
    """A plain value that is not what this version expects; says which field and why."""


class Field(NamedTuple):
    """One field of a class: how to read and write it (None: as it stands), whether it may be absent or null."""

    name: str
    read: Turn
    write: Turn | None
    needed: bool
    nullable: bool


def fields_of(cls: type[Any]) -> tuple[Field, ...]:
    """The fields of a dataclass, in the order they are declared.

    Raises:
        TypeError: a field is of a type that events may not hold.
    """
    hints = get_type_hints(cls)
    found = []
    for one in fields(cls):
        turn, back = _turns(hints[one.name])
        needed = one.default is MISSING and one.default_factory is MISSING
        nullable = types.NoneType in get_args(hints[one.name])
        found.append(Field(one.name, turn, back, needed, nullable))
    return tuple(found)


def write(of: tuple[Field, ...], value: Any) -> dict[str, Any]:
    """A dataclass as a plain dict; a field that is None is left out.

    Raises:
        NotUnderstoodError: a number that is NaN or infinite, or something that JSON cannot say.
    """
    plain = {}
    for name, _, back, *_ in of:
        part = getattr(value, name)
        if part is not None:
            plain[name] = part if back is None else back(part)
    return plain


def read(of: tuple[Field, ...], cls: type[Any], plain: Any) -> Any:
    """A dataclass from a plain dict; fields that this version does not know are passed over.

    Raises:
        NotUnderstoodError: a field is missing, or is not what its type says.
    """
    if not isinstance(plain, dict):
        raise NotUnderstoodError(f"{cls.__name__} is no object")
    values: dict[str, Any] = {}
    for name, turn, _, needed, nullable in of:
        part = plain.get(name, MISSING)
        if part is None and nullable:
            values[name] = None
        elif part is not MISSING:
            try:
                values[name] = turn(part)
            except (ValueError, TypeError) as error:
                raise NotUnderstoodError(f"{cls.__name__}, {name}: {error}") from None
        elif needed:
            raise NotUnderstoodError(f"{cls.__name__} has no {name}")
    return cls(**values)


def to_plain(value: Any) -> Any:
    """Anything JSON can say, as JSON says it: mappings to dicts, sequences to lists.

    Raises:
        NotUnderstoodError: JSON cannot say it.
    """
    if value is None or isinstance(value, (str, bool, int)):
        return value
    if isinstance(value, float):
        return _number(value)
    if isinstance(value, Mapping):
        return {_text(key): to_plain(part) for key, part in value.items()}
    if isinstance(value, (list, tuple)):
        return [to_plain(part) for part in value]
    raise NotUnderstoodError(f"{type(value).__name__} cannot be written")


def freeze(plain: Any) -> Any:
    """A plain value that nobody can change any more."""
    if isinstance(plain, Mapping):
        return MappingProxyType({key: freeze(part) for key, part in plain.items()})
    return tuple(freeze(part) for part in plain) if isinstance(plain, (list, tuple)) else plain


def _exactly(wanted: type) -> Turn:
    """Reads what is of the type, not merely like it: True is no number."""

    def read_it(plain: Any) -> Any:
        if type(plain) is not wanted:
            raise NotUnderstoodError(f"'{plain}' is no {wanted.__name__}")
        return plain

    return read_it


_text, _list = _exactly(str), _exactly(list)


def _number(plain: Any) -> float:
    """A finite float; whole numbers are floats too."""
    if type(plain) not in (float, int) or not isfinite(plain):
        raise NotUnderstoodError(f"'{plain}' is no number")
    return float(plain)


def _object(plain: Any) -> Any:
    """A mapping, as it stands: whoever owns the field decides how to keep it."""
    if not isinstance(plain, Mapping):
        raise NotUnderstoodError("no object")
    return plain


def _scalar(plain: Any) -> Any:
    """A word or a number, as the values of a reason are; a whole number stays whole."""
    if not isinstance(plain, str):
        _number(plain)
    return plain


def _reason_of(plain: Any) -> Reason:
    """A reason from its code and named values."""
    if not isinstance(plain, dict) or not isinstance(plain.get("code"), str):
        raise NotUnderstoodError("a reason has no code")
    values = _object(plain.get("values", {}))
    return Reason(code=plain["code"], values=tuple((name, _scalar(values[name])) for name in sorted(values)))


def _reason_plain(reason: Reason) -> dict[str, Any]:
    """The code and the values by name."""
    return {"code": reason.code, "values": {name: _scalar(value) for name, value in reason.values}}


_SIMPLE: Mapping[Any, tuple[Turn, Turn | None]] = MappingProxyType(
    {
        str: (_text, None),
        int: (_exactly(int), None),
        bool: (_exactly(bool), None),
        float: (_number, _number),
        Reason: (_reason_of, _reason_plain),
        Any: (freeze, to_plain),
    }
)


def _turns(hint: Any) -> tuple[Turn, Turn | None]:
    """How to read and write a value of the type `hint`."""
    origin, args = get_origin(hint), get_args(hint)
    if hint in _SIMPLE:
        return _SIMPLE[hint]
    if origin in (Union, UnionType):
        kinds = tuple(arg for arg in args if arg is not types.NoneType)
        return _turns(kinds[0]) if len(kinds) == 1 else _tagged(kinds)
    if origin is tuple:
        return _sequence(args[0])
    if origin is Mapping:
        return _object, to_plain
    return _class(hint)


def _class(hint: type[Any]) -> tuple[Turn, Turn]:
    """How to read and write a word of an enumeration, or a dataclass."""
    if issubclass(hint, StrEnum):
        return _words(hint), str
    of = fields_of(hint)
    return (lambda plain: read(of, hint, plain)), (lambda value: write(of, value))


def _words(kind: type[StrEnum]) -> Turn:
    """Reads a word of an enumeration."""
    by_word = {word.value: word for word in kind}

    def read_word(plain: Any) -> Any:
        found = by_word.get(plain) if isinstance(plain, str) else None
        if found is None:
            raise NotUnderstoodError(f"'{plain}' is not one of {', '.join(by_word)}")
        return found

    return read_word


def _sequence(hint: Any) -> tuple[Turn, Turn]:
    """How to read and write a tuple of values of the type `hint`."""
    turn, back = _turns(hint)

    def read_all(plain: Any) -> Any:
        return tuple(turn(part) for part in _list(plain))

    def write_all(values: Any) -> list[Any]:
        return [part if back is None else back(part) for part in values]

    return read_all, write_all


def _tagged(kinds: tuple[type[Any], ...]) -> tuple[Turn, Turn]:
    """Reads and writes one of several dataclasses, told apart by `type`."""
    by_name = {kind.__name__: (kind, fields_of(kind)) for kind in kinds}

    def read_one(plain: Any) -> Any:
        name = plain.get("type") if isinstance(plain, Mapping) else None
        if name not in by_name:
            raise NotUnderstoodError(f"not one of {', '.join(by_name)}")
        kind, of = by_name[name]
        return read(of, kind, plain)

    def write_one(value: Any) -> dict[str, Any]:
        name = type(value).__name__
        return {"type": name, **write(by_name[name][1], value)}

    return read_one, write_one
