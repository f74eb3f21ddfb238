"""Whatever is passed to a public function, only the errors of this package come out, each in one printable line."""

from __future__ import annotations

import contextlib
import datetime
import functools
import pathlib
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

import stillroom
from stillroom.errors import BadInput, StillroomError
from tests.trials import trials

FIND = {"food": "snap beans", "jar": "pint", "altitude": "0 ft", "canner": "dial", "pack": "raw", "form": None,
        "kitchen": None}  # fmt: skip
PLAN = {**FIND, "jars": 7, "holds": None, "option_minutes": None, "gauge_reads_high_by": None, "gauge_tested": None,
        "start": None, "on": None}  # fmt: skip
RECIPE = {"food": "apple pie filling", "jars": 7, "jar": "quart", "pack": None, "variety": None, "column": None,
          "without": ()}  # fmt: skip
QUESTIONS: list[tuple[Callable[..., Any], dict[str, Any], str]] = [
    *((stillroom.find, FIND, name) for name in FIND),
    *((stillroom.plan, PLAN, name) for name in PLAN),
    *((stillroom.recipe, RECIPE, name) for name in RECIPE),
    (stillroom.foods, {"text": None, "group": None}, "text"),
    (stillroom.foods, {"text": None, "group": None}, "group"),
    (stillroom.reading_for, {"option": None, "reads_high_by": "1 psi"}, "option"),
    (stillroom.reading_for, {"option": stillroom.find(**FIND).options[0], "reads_high_by": None}, "reads_high_by"),
    (stillroom.kitchen, {"path": None}, "path"),
    (stillroom.judge, {"path": None}, "path"),
    (stillroom.check, {"path": "/no/such/folder", "against": None}, "path"),
    (stillroom.check, {"path": "/no/such/folder", "against": None}, "against"),
    (stillroom.compare, {"old": None, "new": "/no/such/folder"}, "old"),
    (stillroom.compare, {"old": "/no/such/folder", "new": None}, "new"),
]


class Mute:
    """A value that cannot even be shown."""

    def __repr__(self) -> str:
        raise ValueError("no")

    __str__ = __repr__


SCALARS = (
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.complex_numbers()
    | st.text(max_size=60)
    | st.binary(max_size=20)
    | st.dates()
    | st.datetimes()
    | st.timedeltas()
    | st.sampled_from([object(), int, len, "\x1b[2J", "\ud800", "x" * 100_000, "figs\n"])
    | st.sampled_from(["14", "\u0663", "1e3", "nan ft", "\u00bd", "1 ft\x1b[31m", " ", "", "\x00", "..", "-rf"])
)
VALUES = st.recursive(
    SCALARS,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.tuples(inner)
        | st.dictionaries(st.text(max_size=5), inner, max_size=2)
        | st.iterables(inner, max_size=3)
    ),
    max_leaves=4,
)


def one_printable_line(error: BaseException) -> bool:
    return str(error).isprintable() and 0 < len(str(error)) <= 2_000


ASKED = pytest.mark.parametrize(
    ("function", "usual", "name"), QUESTIONS, ids=[f"{function.__name__}-{name}" for function, _, name in QUESTIONS]
)


def asked_with(function: Callable[..., Any], usual: dict[str, Any], name: str, value: Any) -> None:
    """Ask; only errors of the package may come out."""
    if function is stillroom.check and name == "path" and value is None:
        return  # the installed data: checked elsewhere, and slowly
    said = "nothing wrong"
    with contextlib.suppress(StillroomError):
        try:
            function(**{**usual, name: value})
        except StillroomError as error:
            said = str(error)
            raise
    assert said.isprintable() and 0 < len(said) <= 2_000, repr(said)


@ASKED
@settings(max_examples=trials(60), deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(value=VALUES)
@example(value=None)
@example(value="a\x1b[31m\n\u202eb")
def test_only_errors_of_the_package_come_out(
    function: Callable[..., Any], usual: dict[str, Any], name: str, value: Any
) -> None:
    asked_with(function, usual, name, value)


@ASKED
def test_a_value_that_cannot_be_shown_is_bad_input(
    function: Callable[..., Any], usual: dict[str, Any], name: str
) -> None:
    for value in (Mute(), [Mute()], 10**5000, -(10**5000), (10**5000,)):
        with pytest.raises(BadInput) as wrong:
            function(**{**usual, name: value})
        assert one_printable_line(wrong.value)


@pytest.mark.parametrize("without", [5, 0, True, 1.5, [None], [5], ("",), b"salt", object(), {1: 2}])
def test_without_takes_names_only(without: Any) -> None:
    with pytest.raises(BadInput, match=r"^without .* write the name of an ingredient"):
        stillroom.recipe("apple pie filling", without=without)


@pytest.mark.parametrize("nothing", [None, (), [], set(), iter(())])
def test_without_nothing_leaves_nothing_out(nothing: Any) -> None:
    assert stillroom.recipe("figs", without=nothing) == stillroom.recipe("figs")


def test_a_name_alone_and_a_list_of_it_leave_the_same_out() -> None:
    alone = stillroom.recipe("apple pie filling", without="cinnamon")
    assert alone == stillroom.recipe("apple pie filling", without=["cinnamon"])
    assert len(alone.ingredients) < len(stillroom.recipe("apple pie filling").ingredients)


@pytest.mark.parametrize(("name", "value"), [("variety", 5), ("jars", True), ("jars", 7.0), ("jar", 7), ("column", 1)])
def test_wrong_types_in_a_recipe_are_bad_input(name: str, value: Any) -> None:
    with pytest.raises(BadInput, match=name.rstrip("s")):
        stillroom.recipe(**{**RECIPE, name: value})


def test_jars_without_a_jar_asks_for_it() -> None:
    with pytest.raises(BadInput, match="7 jars of what size"):
        stillroom.recipe("figs", 7, None)


@pytest.mark.parametrize("path", [5, -1, None, True, b"x", 1.5, [], ["."], object(), "a\0b"])
def test_a_path_is_text(path: Any) -> None:
    functions = [stillroom.judge, stillroom.compare, functools.partial(stillroom.compare, "."),
                 functools.partial(stillroom.check, "/no/such/folder"), stillroom.check]  # fmt: skip
    for function in functions[: 2 if path is None else None]:
        with pytest.raises(BadInput):
            function(path)


def test_a_path_object_is_a_path(tmp_path: pathlib.Path) -> None:
    for function in (stillroom.judge, stillroom.check, stillroom.compare):
        with pytest.raises(BadInput, match="none"):
            function(tmp_path / "none")  # type: ignore[arg-type]


def test_a_date_is_no_altitude() -> None:
    with pytest.raises(BadInput, match="neither text nor a quantity"):
        stillroom.find(**{**FIND, "altitude": datetime.date(2026, 6, 1)})
