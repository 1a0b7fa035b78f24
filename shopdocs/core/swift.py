"""`dataclass`, as in the standard library, and quicker to declare.

The standard decorator writes up to nine functions for each class and compiles each of them: for hundreds of classes
that is a third of the time in which a small build is checked. This one shares them among all classes, and compiles the
one that has to be written, `__init__`, when the first of a class is made. Type checkers take it for the standard one;
`fields` and `replace` of the standard library take its classes. What it does not know (a class that inherits from
another such class, or keywords other than `frozen`, `slots` and `order`) it leaves to the standard one.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from operator import attrgetter, ge, gt, le, lt
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(cls=None, /, *, frozen=False, slots=False, order=False, **others):
        """See the module's text. Raises what the standard decorator raises."""

        def made(cls):
            inherits = any("__dataclass_fields__" in base.__dict__ for base in cls.__mro__[1:])
            if others or inherits or "__eq__" in cls.__dict__ or "__hash__" in cls.__dict__:
                return dataclasses.dataclass(cls, frozen=frozen, slots=slots, order=order, **others)
            return _made(cls, frozen, slots, order)

        return made if cls is None else made(cls)


def _made(cls: type, frozen: bool, slots: bool, order: bool) -> type:
    if cls.__doc__ is None:
        cls.__doc__ = cls.__name__  # or the standard one makes one, at length
    cls = dataclasses.dataclass(init=False, repr=False, eq=False)(cls)
    params: Any = cls.__dataclass_params__  # type: ignore[attr-defined]
    params.init = params.repr = params.eq = True
    params.frozen, params.order = frozen, order
    fields = dataclasses.fields(cls)
    given: dict[str, Any] = {}
    told = _values([field.name for field in fields if field.compare])
    given["__eq__"] = _compared(told, lambda one, other: one == other)
    given["__hash__"] = None
    if frozen:
        hashed = _values([f.name for f in fields if (f.compare if f.hash is None else f.hash)])
        given["__hash__"] = lambda self: hash(hashed(self))
        given |= {"__setattr__": _set, "__delattr__": _delete}
    if order:
        given |= {f"__{way.__name__}__": _compared(told, way) for way in (lt, le, gt, ge)}
    shown = tuple(field.name for field in fields if field.repr)
    if "__repr__" not in cls.__dict__:
        given["__repr__"] = lambda self: (
            f"{type(self).__qualname__}({', '.join(f'{name}={getattr(self, name)!r}' for name in shown)})"
        )
    owner: list[type] = []
    if "__init__" not in cls.__dict__:
        given["__init__"] = _first(owner, frozen)
    for name, function in given.items():
        setattr(cls, name, function)
    owner.append(_slotted(cls, frozen) if slots else cls)
    return owner[0]


def _values(names: list[str]) -> Callable[[Any], tuple[Any, ...]]:
    """What takes these attributes of a value."""
    if not names:
        return lambda value: ()
    get = attrgetter(*names)
    return get if len(names) > 1 else lambda value: (get(value),)


def _compared(told: Callable[[Any], tuple[Any, ...]], way: Callable[[Any, Any], bool]) -> Callable[[Any, Any], Any]:
    def compared(self: Any, other: Any) -> Any:
        return way(told(self), told(other)) if other.__class__ is self.__class__ else NotImplemented

    return compared


def _set(self: object, name: str, value: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _delete(self: object, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _first(owner: list[type], frozen: bool) -> Callable[..., None]:
    """An `__init__` that gives way to one written for its class when the first value is made."""

    def __init__(self: Any, *values: Any, **named: Any) -> None:
        cls: Any = owner[0]
        cls.__init__ = _written(cls, frozen)
        cls.__init__(self, *values, **named)

    return __init__


def _written(cls: type, frozen: bool) -> Callable[..., None]:
    missing, known = dataclasses.MISSING, dict[str, Any](_set=object.__setattr__, _none=dataclasses.MISSING)
    asked: list[str] = []
    named: list[str] = []
    lines: list[str] = []
    for number, field in enumerate(dataclasses.fields(cls)):
        name, value = field.name, field.name
        if field.default_factory is not missing:
            known[f"_make{number}"] = field.default_factory
            value = f"_make{number}() if {name} is _none else {name}" if field.init else f"_make{number}()"
        elif not field.init:
            continue
        if field.init:
            word = name
            if field.default is not missing:
                known[f"_usual{number}"] = field.default
                word = f"{name}=_usual{number}"
            elif field.default_factory is not missing:
                word = f"{name}=_none"
            (named if field.kw_only else asked).append(word)
        lines.append(f"_set(self, {name!r}, {value})" if frozen else f"self.{name} = {value}")
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    head = ", ".join(("self", *asked, *(("*", *named) if named else ())))
    exec(f"def __init__({head}):\n " + "\n ".join(lines or ["pass"]), known)
    made: Callable[..., None] = known["__init__"]
    made.__qualname__ = f"{cls.__qualname__}.__init__"
    return made


def _slotted(cls: type, frozen: bool) -> type:
    """The class once more, its fields in slots."""
    names = tuple(field.name for field in dataclasses.fields(cls))
    inside = {key: value for key, value in cls.__dict__.items() if key not in (*names, "__dict__", "__weakref__")}
    inside["__slots__"] = names
    if frozen:
        inside.setdefault("__getstate__", _kept)
        inside.setdefault("__setstate__", _restored)
    made = type(cls)(cls.__name__, cls.__bases__, inside)
    made.__qualname__ = cls.__qualname__
    return made


def _kept(self: Any) -> list[Any]:
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _restored(self: Any, state: list[Any]) -> None:
    for field, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)
