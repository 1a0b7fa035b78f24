"""`dataclass` as in the standard library, for its plain uses, made without delay.

The standard one writes and compiles six functions for every class when a module is loaded: with the some four hundred
classes here that is a third of the time of a small check. This one shares what is the same for all classes, and
compiles `__init__` when the first object of a class is made, which for most classes of a run is never. The objects
behave alike: `replace`, `fields`, `asdict`, `copy` and `pickle` serve them. Type checkers see the standard one.

Of the options there are `frozen`, `slots`, `eq` and `order`; what of a field is compared makes its hash, too.
"""

from __future__ import annotations

import dataclasses
from dataclasses import MISSING, Field, FrozenInstanceError
from operator import attrgetter
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from dataclasses import dataclass as dataclass
else:

    def dataclass(cls=None, /, *, frozen=False, slots=False, eq=True, order=False):
        """The class as a dataclass. Raises TypeError for a default that could be changed, as the standard one does."""
        options = (frozen, slots, eq, order)
        return (lambda given: _made(given, *options)) if cls is None else _made(cls, *options)


_KIND = dataclasses.fields(dataclasses.make_dataclass("_Any", ["any"]))[0]._field_type  # type: ignore[attr-defined]
_Plan = dict[str, object]  # the fields by name: their Field, their default, or MISSING


def _made(cls: Any, frozen: bool, slots: bool, eq: bool, order: bool) -> Any:
    own, plan = cls.__dict__, dict[str, object]()
    for base in reversed(cls.__mro__[1:-1]):
        plan.update(base.__dict__.get("__record__", {}))
    for name, kind in _annotations(cls).items():
        if kind.startswith(("ClassVar", "typing.ClassVar")):
            continue
        plan[name] = given = own.get(name, MISSING)
        if given.__class__.__hash__ is None:
            raise TypeError(f"{cls.__name__}.{name} has a default that could be changed; write a default_factory")
        if isinstance(given, Field):
            if given.default is MISSING:
                delattr(cls, name)
            else:
                setattr(cls, name, given.default)
    made: dict[str, object] = {
        "__record__": plan,
        "__dataclass_fields__": _Fields(),
        "__match_args__": tuple(
            name
            for name, given in plan.items()
            if not isinstance(given, Field) or (given.init and given.kw_only is not True)
        ),
        "__repr__": own.get("__repr__", _repr),
    }
    compared = _getter([name for name, given in plan.items() if not isinstance(given, Field) or given.compare])
    if eq:
        made["__eq__"] = own.get("__eq__") or _eq(compared)
        made["__hash__"] = own.get("__hash__") or (_hash(compared) if frozen else None)
    if order:
        made |= _ordered(compared)
    if frozen:
        made |= {"__setattr__": _refused, "__delattr__": _refused}
        if slots:
            made |= {"__getstate__": _state, "__setstate__": _set_state}
    if slots:
        cls = _with_slots(cls, plan)
    for name, value in made.items():
        setattr(cls, name, value)
    if "__init__" not in own:
        cls.__init__ = _first_init(cls, plan, frozen, slots)
    return cls


def _with_slots(cls: Any, plan: _Plan) -> Any:
    """The class again, with slots for its fields; slots cannot be added to a class that is there."""
    names = dict(cls.__dict__)
    inherited = {name for base in cls.__mro__[1:-1] for name in base.__dict__.get("__slots__", ())}
    names["__slots__"] = tuple(name for name in plan if name not in inherited)
    for name in plan:
        names.pop(name, None)
    names.pop("__dict__", None)
    names.pop("__weakref__", None)
    made = type(cls)(cls.__name__, cls.__bases__, names)
    made.__qualname__ = cls.__qualname__
    return made


def _first_init(cls: Any, plan: _Plan, frozen: bool, slots: bool) -> Any:
    """An `__init__` that puts the compiled one in its place."""

    def __init__(self: Any, *args: Any, **given: Any) -> None:
        init = _compiled(cls, plan, frozen, slots)
        cls.__init__ = init
        init(self, *args, **given)

    return __init__


def _compiled(cls: Any, plan: _Plan, frozen: bool, slots: bool) -> Any:
    """`__init__` with a parameter for every field."""
    spare: dict[str, Any] = {"_MISSING": MISSING, "_put": object.__setattr__}
    parameters, named, lines = ["self"], list[str](), list[str]()
    for name, given in plan.items():
        default: Any = given
        factory: Any = MISSING
        init, into = True, parameters
        if isinstance(given, Field):
            default, factory, init = given.default, given.default_factory, given.init
            into = named if given.kw_only is True else parameters
        value = name
        if factory is not MISSING:
            spare[f"_make_{name}"] = factory
            value = f"_make_{name}() if {name} is _MISSING else {name}" if init else f"_make_{name}()"
            into += [f"{name}=_MISSING"] if init else []
        elif default is not MISSING:
            spare[f"_or_{name}"] = default
            value = name if init else f"_or_{name}"
            into += [f"{name}=_or_{name}"] if init else []
        elif init:
            into.append(name)
        else:
            continue
        if not frozen:
            lines.append(f"self.{name} = {value}")
        elif slots:  # what a slot is set by is called straight: in half the time
            spare[f"_set_{name}"] = getattr(cls, name).__set__
            lines.append(f"_set_{name}(self, {value})")
        else:
            lines.append(f"_put(self, '{name}', {value})")
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    body = "\n ".join(lines or ["pass"])
    parameters += ["*", *named] if named else []
    exec(f"def __init__({', '.join(parameters)}):\n {body}", spare)
    init = spare["__init__"]
    init.__qualname__ = f"{cls.__qualname__}.__init__"
    return init


class _Fields:
    """The fields of a class, described when they are first asked for."""

    def __get__(self, one: object, cls: Any) -> dict[str, Any]:
        found: dict[str, Any] = {}
        kinds = {name: kind for base in reversed(cls.__mro__) for name, kind in _annotations(base).items()}
        for name, given in cls.__record__.items():
            made: Any = given if isinstance(given, Field) else dataclasses.field(default=given)
            made.name, made.type, made._field_type = name, kinds[name], _KIND
            found[name] = made
        cls.__dataclass_fields__ = found
        return found


def _annotations(cls: Any) -> dict[str, Any]:
    found: dict[str, Any] = vars(cls).get("__annotations__", {})
    return found


def _getter(names: list[str]) -> Any:
    """What is compared of an object: its one field, or several in a tuple."""
    return attrgetter(*names) if names else lambda one: ()


def _eq(compared: Any) -> Any:
    def __eq__(self: Any, other: Any) -> Any:
        return compared(self) == compared(other) if other.__class__ is self.__class__ else NotImplemented

    return __eq__


def _hash(compared: Any) -> Any:
    def __hash__(self: Any) -> int:
        return hash(compared(self))

    return __hash__


def _ordered(compared: Any) -> dict[str, object]:
    def __lt__(self: Any, other: Any) -> Any:
        return compared(self) < compared(other) if other.__class__ is self.__class__ else NotImplemented

    def __le__(self: Any, other: Any) -> Any:
        return compared(self) <= compared(other) if other.__class__ is self.__class__ else NotImplemented

    def __gt__(self: Any, other: Any) -> Any:
        return compared(self) > compared(other) if other.__class__ is self.__class__ else NotImplemented

    def __ge__(self: Any, other: Any) -> Any:
        return compared(self) >= compared(other) if other.__class__ is self.__class__ else NotImplemented

    return {"__lt__": __lt__, "__le__": __le__, "__gt__": __gt__, "__ge__": __ge__}


def _repr(self: Any) -> str:
    shown = (
        f"{name}={getattr(self, name)!r}"
        for name, given in self.__record__.items()
        if not isinstance(given, Field) or given.repr
    )
    return f"{self.__class__.__qualname__}({', '.join(shown)})"


def _refused(self: Any, name: str, *value: object) -> None:
    raise FrozenInstanceError(f"cannot {'assign to' if value else 'delete'} field {name!r}")


def _state(self: Any) -> list[object]:
    return [getattr(self, name) for name in self.__record__]


def _set_state(self: Any, state: list[object]) -> None:
    for name, value in zip(self.__record__, state, strict=True):
        object.__setattr__(self, name, value)
