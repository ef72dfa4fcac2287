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

Put = Callable[[Any, Any], None]
"""Fills one slot of a new value."""

_blank = object.__new__


class NotUnderstoodError(ValueError):
    """A plain value that is not what this version expects; says which field and why."""


class Field(NamedTuple):
    """One field of a class: how to read and write it (None: as it stands), whether it may be absent or null."""

    name: str
    read: Turn
    write: Turn | None
    needed: bool
    nullable: bool


class Shape(NamedTuple):
    """A dataclass as it is read and written.

    Attributes:
        fields: its fields in the order they are declared.
        turns: name of a field → how to read it, and how to put it into a new value.
        defaults: fields that may be absent: name, how to put, what.
        needed: names of those that may not.
        check: what the class does after `__init__`; None: nothing.
        backs: name of a field, and how to write it (None: as it stands).
    """

    cls: type[Any]
    fields: tuple[Field, ...]
    turns: Mapping[str, tuple[Turn, Put]]
    defaults: tuple[tuple[str, Put, Any], ...]
    needed: frozenset[str]
    check: Turn | None
    backs: tuple[tuple[str, Turn | None], ...]


def shape_of(cls: type[Any]) -> Shape:
    """The shape of a dataclass.

    Raises:
        TypeError: a field is of a type that events may not hold.
    """
    hints = get_type_hints(cls)
    found, turns, defaults = [], {}, []
    for one in fields(cls):
        turn, back = _turns(hints[one.name])
        needed = one.default is MISSING and one.default_factory is MISSING
        nullable = types.NoneType in get_args(hints[one.name])
        found.append(Field(one.name, turn, back, needed, nullable))
        put = getattr(cls, one.name).__set__
        turns[one.name] = (_or_none(turn) if nullable else turn), put
        if one.default is not MISSING:
            defaults.append((one.name, put, one.default))
        elif not needed:
            raise TypeError(f"{cls.__name__}.{one.name}: an event's field has a plain default or none")
    return Shape(
        cls,
        tuple(found),
        MappingProxyType(turns),
        tuple(defaults),
        frozenset(field.name for field in found if field.needed),
        getattr(cls, "__post_init__", None),
        tuple((field.name, field.write) for field in found),
    )


def write(shape: Shape, value: Any) -> dict[str, Any]:
    """A dataclass as a plain dict; a field that is None is left out.

    Raises:
        NotUnderstoodError: a number that is NaN or infinite, or something that JSON cannot say.
    """
    plain = {}
    for name, back in shape.backs:
        part = getattr(value, name)
        if part is not None:
            plain[name] = part if back is None else back(part)
    return plain


def read(shape: Shape, plain: Any) -> Any:
    """A dataclass from a plain dict; fields that this version does not know are passed over.

    It is put together slot by slot, as its `__init__` would but in half the time: a ledger holds a hundred
    thousand of them. What does not go together here is read again with care, to say why.

    Raises:
        NotUnderstoodError: a field is missing, or is not what its type says.
    """
    cls, _, turns, defaults, needed, check, _ = shape
    value = _blank(cls)
    try:
        for name, part in plain.items():
            if name in turns:
                turn, put = turns[name]
                put(value, turn(part))
        for name, put, default in defaults:
            if name not in plain:
                put(value, default)
        if not needed <= plain.keys():
            return _read_with_care(shape, plain)
        if check is not None:
            check(value)
    except (ValueError, TypeError, AttributeError):
        return _read_with_care(shape, plain)
    return value


def _read_with_care(shape: Shape, plain: Any) -> Any:
    """The same field by field: says which one is missing or wrong, and takes null for a default where it may."""
    cls = shape.cls
    if not isinstance(plain, dict):
        raise NotUnderstoodError(f"{cls.__name__} is no object")
    values: dict[str, Any] = {}
    for name, turn, _, needed, nullable in shape.fields:
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


def _or_none(turn: Turn) -> Turn:
    """Reads what `turn` reads, and null."""
    return lambda plain: None if plain is None else turn(plain)


def _number(plain: Any) -> float:
    """A finite float; whole numbers are floats too."""
    if type(plain) is float and plain - plain == 0.0:  # neither infinite nor NaN
        return plain
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
    for value in values.values():
        _scalar(value)
    return Reason(code=plain["code"], values=tuple(sorted(values.items())))


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
    shape = shape_of(hint)
    return (lambda plain: read(shape, plain)), (lambda value: write(shape, value))


class _Words(dict[str, StrEnum]):
    """The words of an enumeration; looking one up takes no step of ours, and one that is none says so."""

    def __missing__(self, word: str) -> StrEnum:
        raise NotUnderstoodError(f"'{word}' is not one of {', '.join(self)}")


def _words(kind: type[StrEnum]) -> Turn:
    """Reads a word of an enumeration."""
    return _Words({word.value: word for word in kind}).__getitem__


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
    by_name = {kind.__name__: shape_of(kind) for kind in kinds}

    def read_one(plain: Any) -> Any:
        name = plain.get("type") if isinstance(plain, Mapping) else None
        if name not in by_name:
            raise NotUnderstoodError(f"not one of {', '.join(by_name)}")
        return read(by_name[name], plain)

    def write_one(value: Any) -> dict[str, Any]:
        name = type(value).__name__
        return {"type": name, **write(by_name[name], value)}

    return read_one, write_one
