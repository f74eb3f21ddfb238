"""What the public functions lead to: the classes of the project that their annotations name, one after another."""

from __future__ import annotations

import ast
import functools
import inspect
import sys
import typing
from collections.abc import Iterator
from types import FunctionType
from typing import Any

import stillroom


def public() -> Iterator[tuple[str, Any]]:
    """What ``__all__`` names."""
    for name in stillroom.__all__:
        yield name, getattr(stillroom, name)


def functions() -> dict[str, FunctionType]:
    return {name: value for name, value in public() if isinstance(value, FunctionType)}


def classes() -> dict[str, type]:
    return {name: value for name, value in public() if isinstance(value, type)}


@functools.cache
def _for_checkers_only(module: str) -> dict[str, Any]:
    """What a module imports for type checking only."""
    found: dict[str, Any] = {}
    for node in ast.parse(inspect.getsource(sys.modules[module])).body:
        if isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING":
            exec(compile(ast.Module(node.body, []), module, "exec"), found)
    return found


def hints(thing: Any) -> dict[str, Any]:
    """Annotations as types; also those whose names are imported for type checking only."""
    if isinstance(thing, type):
        found: dict[str, Any] = {}
        for base in reversed(thing.__mro__):
            if base.__module__.startswith("stillroom"):
                late, own = _for_checkers_only(base.__module__), vars(sys.modules[base.__module__])
                for name, told in vars(base).get("__annotations__", {}).items():
                    found[name] = eval(told, late | own) if isinstance(told, str) else _told(told, late | own)
        return found
    late, own = _for_checkers_only(thing.__module__), thing.__globals__
    return typing.get_type_hints(thing, globalns=late | own)


def _told(told: Any, names: dict[str, Any]) -> Any:
    return eval(told.__forward_arg__, names) if isinstance(told, typing.ForwardRef) else told


def fields(cls: type) -> tuple[str, ...]:
    """Fields of a record, in their order; of an error what ``__init__`` and its properties give it."""
    named = getattr(cls, "_fields", None) or tuple(getattr(cls, "__dataclass_fields__", ()))
    return tuple(name for name in named if not name.startswith("_"))


def members(cls: type) -> Iterator[tuple[str, FunctionType]]:
    """Public methods and properties that the class itself defines."""
    for name, value in vars(cls).items():
        if isinstance(value, (staticmethod, classmethod)):
            value = value.__func__
        getter = value.fget if isinstance(value, property) else getattr(value, "func", value)
        if not name.startswith("_") and isinstance(getter, FunctionType):
            yield name, getter


def ours(told: Any) -> Iterator[type]:
    """Classes of the project that an annotation names."""
    if isinstance(told, type) and told.__module__.split(".")[0] == "stillroom":
        yield told
    for part in typing.get_args(told):
        yield from ours(part)


def reached() -> dict[type, str]:
    """Every class that a public function returns, or that hangs on one, with the way to it."""
    found: dict[type, str] = {}
    waiting = [
        *((cls, name) for name, function in functions().items() for cls in ours(hints(function).get("return"))),
        *((cls, name) for name, cls in classes().items()),
    ]
    while waiting:
        cls, way = waiting.pop()
        if cls in found:
            continue
        found[cls] = way
        told = {name: kind for name, kind in hints(cls).items() if not name.startswith("_")}
        told |= {name: hints(getter).get("return") for name, getter in members(cls)}
        waiting += [(other, f"{way}.{name}") for name, kind in told.items() for other in ours(kind)]
    return found
