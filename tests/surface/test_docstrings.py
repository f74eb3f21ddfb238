"""Every public name says what it is: parameters, result and errors of a function, each field of a type.

The sections are those of the numpydoc standard: a title underlined with hyphens, then ``name : type`` and a text
that is indented; several names that share a text stand before one colon, with commas between.
"""

from __future__ import annotations

import inspect
import re
from typing import Any

import pytest

from tests.surface.reached import classes, fields, functions, hints, members, ours

FUNCTIONS, CLASSES = functions(), classes()
SECTION = re.compile(r"^(\w[\w ]*)\n-+\n", re.MULTILINE)


def sections(thing: Any) -> dict[str, str]:
    """Give each section of a docstring with its text; the part before the first has a blank title."""
    parts = SECTION.split(inspect.cleandoc(thing.__doc__ or ""))
    return {"": parts[0].strip(), **{title: text.strip() for title, text in zip(parts[1::2], parts[2::2], strict=True)}}


def told(text: str) -> dict[str, str]:
    """Give each name of a section with its text."""
    found: dict[str, str] = {}
    for entry in re.split(r"\n(?=\S)", text):
        head, _, said = entry.partition("\n")
        names, _, _ = head.partition(" : ")
        for name in names.split(", "):
            found[name.strip()] = " ".join(said.split()) if said.strip() else ""
    return found


def gives_nothing(function: Any) -> bool:
    return hints(function).get("return") in (None, type(None))


@pytest.mark.parametrize("name", FUNCTIONS)
def test_a_function_tells_its_parameters_its_result_and_its_errors(name: str) -> None:
    function = FUNCTIONS[name]
    said = sections(function)
    assert said[""].endswith("."), "no sentence says what it gives"
    parameters = told(said.get("Parameters", ""))
    assert list(parameters) == (list(inspect.signature(function).parameters) or [""])
    assert all(parameters.values()) or not inspect.signature(function).parameters
    assert said.get("Returns"), "no section Returns"
    assert said.get("Raises"), "no section Raises"


@pytest.mark.parametrize("name", FUNCTIONS)
def test_the_errors_a_function_tells_are_exported_and_each_says_when(name: str) -> None:
    for error, when in told(sections(FUNCTIONS[name])["Raises"]).items():
        assert error in CLASSES and issubclass(CLASSES[error], Exception), error
        assert when.endswith("."), error


def leads_to_pages(function: Any) -> bool:
    """Whether what it returns, or what hangs on that, stands on pages."""
    seen, waiting = set(), list(ours(hints(function).get("return")))
    while waiting:
        cls = waiting.pop()
        seen.add(cls)
        waiting += [other for told in hints(cls).values() for other in ours(told) if other not in seen]
    return any("page" in fields(cls) for cls in seen)


@pytest.mark.parametrize("name", ["reading_for", *(name for name in FUNCTIONS if leads_to_pages(FUNCTIONS[name]))])
def test_a_function_that_gives_figures_says_that_their_pages_go_with_them(name: str) -> None:
    assert re.search(r"\bpages?\b", sections(FUNCTIONS[name])["Returns"])


@pytest.mark.parametrize("name", CLASSES)
def test_a_type_tells_every_field_in_order(name: str) -> None:
    cls = CLASSES[name]
    said = sections(cls)
    assert said[""], "no sentence says what it is"
    attributes = told(said.get("Attributes", ""))
    if fields(cls):
        assert list(attributes) == list(fields(cls))
        assert [field for field, text in attributes.items() if not text] == [], "no text"


@pytest.mark.parametrize("name", CLASSES)
def test_methods_and_properties_of_a_type_say_what_they_give(name: str) -> None:
    assert [member for member, getter in members(CLASSES[name]) if not sections(getter)[""]] == []


@pytest.mark.parametrize("name", ["NoTestedSchedule", "SayWhich", "UnknownFood"])
def test_an_error_tells_what_it_carries(name: str) -> None:
    carried = {key for key in vars(CLASSES[name]("jar-not-tested", "a reason")) if not key.startswith("_")}
    inherited = {key for base in CLASSES[name].__mro__[1:] for key in told(sections(base).get("Attributes", ""))}
    assert carried <= set(told(sections(CLASSES[name])["Attributes"])) | inherited


def test_what_is_not_told_is_found() -> None:
    """The near misses: a field less, and a section without its line."""
    text = "Say.\n\nAttributes\n----------\na, b : int\n    Minutes.\nc : str\n"
    assert told(sections(type("T", (), {"__doc__": text}))["Attributes"]) == {
        "a": "Minutes.",
        "b": "Minutes.",
        "c": "",
    }
    assert "Attributes" not in sections(type("T", (), {"__doc__": "Say.\n\nAttributes\n"}))
