"""Dataclasses whose methods are written when they are first called.

`dataclasses.dataclass` writes and compiles six methods of every class while its module is loaded: that was a quarter of
the time of a check, where half of the classes never get an object and most are never compared. Here `__init__`,
`__eq__`, `__hash__` and the order are compiled at their first call, and the others are shared by all classes. Frozen
objects with slots are filled through the slots, which takes two thirds of the time of `object.__setattr__`.

To `fields`, `replace`, `asdict`, pickle and type checkers these are dataclasses like any other. `InitVar`, `ClassVar`
and the options that are not here would need the library's own.
"""

from __future__ import annotations

import abc
import dataclasses
from collections.abc import Callable
from dataclasses import MISSING, Field, FrozenInstanceError, fields
from typing import TYPE_CHECKING, Any

_PLAIN = dataclasses._FIELD  # type: ignore[attr-defined]  # how `fields` and `replace` know a field
_SIGNS = {"__eq__": "==", "__lt__": "<", "__le__": "<=", "__gt__": ">", "__ge__": ">="}

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(cls=None, /, *, frozen=False, slots=False, eq=True, order=False):
        """As `dataclasses.dataclass` with these options."""
        if cls is None:
            return lambda cls: _made(cls, frozen, slots, eq, order)
        return _made(cls, frozen, slots, eq, order)


def _made(cls: Any, frozen: bool, slots: bool, eq: bool, order: bool) -> Any:
    """The class with its methods, made anew where it is to have slots."""
    every: dict[str, Field[Any]] = {}
    for base in cls.__mro__[:0:-1]:
        every |= base.__dict__.get("__dataclass_fields__", {})
    inherited = set(every)
    own = {name: _field_of(cls, name, kind) for name, kind in cls.__annotations__.items()}
    every |= own
    space = cls.__dict__
    hashed = space.get("__hash__") is not None or ("__hash__" in space and "__eq__" not in space)
    if slots:
        left_out = {*own, "__dict__", "__weakref__"}  # a default would stand where the slot is
        anew = {name: value for name, value in space.items() if name not in left_out}
        anew["__slots__"] = tuple(name for name in own if name not in inherited)
        anew["__qualname__"] = cls.__qualname__
        cls = type(cls)(cls.__name__, cls.__bases__, anew)
    else:
        for name, one in own.items():
            if one.default is not MISSING:
                setattr(cls, name, one.default)
            elif name in space:
                delattr(cls, name)
    cls.__dataclass_fields__ = every
    methods: dict[str, Any] = {"__init__": _unwritten(cls, "__init__"), "__repr__": _repr}
    methods["__match_args__"] = tuple(name for name, one in every.items() if one.init and not one.kw_only)
    if eq:
        methods["__eq__"] = _unwritten(cls, "__eq__")
    if order:
        methods |= {name: _unwritten(cls, name) for name in _SIGNS if name != "__eq__"}
    if frozen:
        methods |= {"__setattr__": _keep, "__delattr__": _keep}
        if slots:
            methods |= {"__getstate__": _state, "__setstate__": _fill}
    for name, method in methods.items():
        if name not in cls.__dict__:
            setattr(cls, name, method)
    if eq and not hashed:
        cls.__hash__ = _unwritten(cls, "__hash__") if frozen else None
    abc.update_abstractmethods(cls)
    return cls


def _field_of(cls: type, name: str, kind: Any) -> Any:
    """The field of this name, with the default that stands in the class."""
    given = cls.__dict__.get(name, MISSING)
    one: Any = given if isinstance(given, Field) else dataclasses.field(default=given)
    one.name, one.type, one._field_type = name, kind, _PLAIN
    one.kw_only = one.kw_only is True
    return one


def _unwritten(cls: Any, name: str) -> Callable[..., Any]:
    """A method that writes itself when it is first called, and goes on as what was written."""

    def method(self: Any, *given: Any, **named: Any) -> Any:
        every = tuple(cls.__dataclass_fields__.values())
        written = _init(cls, every) if name == "__init__" else _compared(cls, name, every)
        setattr(cls, name, written)
        return written(self, *given, **named)

    return method


def _init(cls: Any, every: tuple[Field[Any], ...]) -> Callable[..., None]:
    known: dict[str, Any] = {"_missing": MISSING, "_set": object.__setattr__}
    lines = []
    frozen = cls.__setattr__ is _keep
    for one in every:
        name, value = one.name, one.name
        if one.default_factory is not MISSING:
            known[f"_make_{name}"] = one.default_factory
            value = f"_make_{name}() if {name} is _missing else {name}" if one.init else f"_make_{name}()"
        elif not one.init:
            continue
        slot = getattr(cls, name, None)
        if not frozen:
            lines.append(f"self.{name} = {value}")
        elif hasattr(slot, "__set__"):
            known[f"_slot_{name}"] = slot.__set__  # type: ignore[union-attr]
            lines.append(f"_slot_{name}(self, {value})")
        else:
            lines.append(f"_set(self, {name!r}, {value})")
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    given = []
    for one in sorted((one for one in every if one.init), key=lambda one: bool(one.kw_only)):
        if one.kw_only and "*" not in given:
            given.append("*")
        known[f"_default_{one.name}"] = one.default
        default = one.default is not MISSING or one.default_factory is not MISSING
        given.append(f"{one.name}=_default_{one.name}" if default else one.name)
    return _compiled(cls, "__init__", ("self", *given), lines or ["pass"], known)


def _compared(cls: Any, name: str, every: tuple[Field[Any], ...]) -> Callable[..., Any]:
    """`__hash__`, or a method that compares; both see the fields as a tuple."""
    hashing = name == "__hash__"
    some = [one.name for one in every if (one.compare if one.hash is None or not hashing else one.hash)]
    mine, theirs = ("".join(f"{of}.{field}, " for field in some) for of in ("self", "other"))
    if hashing:
        return _compiled(cls, name, ("self",), [f"return hash(({mine}))"], {})
    lines = [
        "if other.__class__ is self.__class__:",
        f"    return ({mine}) {_SIGNS[name]} ({theirs})",
        "return NotImplemented",
    ]
    return _compiled(cls, name, ("self", "other"), lines, {})


def _compiled(
    cls: type, name: str, given: tuple[str, ...], lines: list[str], known: dict[str, Any]
) -> Callable[..., Any]:
    body = "".join(f"    {line}\n" for line in lines)
    exec(f"def {name}({', '.join(given)}):\n{body}", known)
    method: Callable[..., Any] = known[name]
    method.__qualname__ = f"{cls.__qualname__}.{name}"
    return method


def _repr(self: Any) -> str:
    shown = ", ".join(f"{one.name}={getattr(self, one.name)!r}" for one in fields(self) if one.repr)
    return f"{type(self).__qualname__}({shown})"


def _keep(self: Any, name: str, *_: object) -> None:
    raise FrozenInstanceError(f"cannot assign to field {name!r}")


def _state(self: Any) -> list[Any]:
    return [getattr(self, one.name) for one in fields(self)]


def _fill(self: Any, state: list[Any]) -> None:
    for one, value in zip(fields(self), state, strict=True):
        object.__setattr__(self, one.name, value)
