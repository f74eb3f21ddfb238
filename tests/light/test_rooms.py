"""Each room of the house imports only from the rooms below it, in a circle nowhere.

The rooms and what each may import are told in DEVELOPERS.md; the test reads the import statements, also those inside
functions and those for type checking only.
"""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.conftest import ROOT

HOUSE = ROOT / "validator/stillroom"
TOP = ("errors", "extras", "screen")
BELOW = {
    "package": (),
    "answers": ("package",),
    "recipes": ("answers", "package"),
    "day": ("recipes", "answers", "package"),
    "run": ("day", "answers", "package"),
    "findings": ("answers", "package"),
    "export": ("answers", "package"),
    "foreign": ("answers", "package"),
    "frames": ("export", "answers", "package"),
    "desk": ("findings", "answers", "package"),
    "sheets": ("foreign", "export", "desk", "findings", "run", "day", "recipes", "answers", "package"),
    "site": ("sheets", "export", "desk", "findings", "run", "day", "recipes", "answers", "package"),
    "commands": (
        "site",
        "sheets",
        "foreign",
        "export",
        "desk",
        "findings",
        "run",
        "day",
        "recipes",
        "answers",
        "package",
    ),
}
"""Rooms, and those each may import from; errors, extras and screen stand on top and may be imported by all."""
PUBLIC_FROM = ("sheets", "site", "commands")
"""Rooms that may ask ``stillroom`` itself."""
PUBLIC_FUNCTIONS = ("find", "foods", "recipe", "plan", "kitchen", "judge", "check", "compare", "data")


def imports(code: str) -> Iterator[str]:
    """What a module of the house imports from it, without ``stillroom.``; blank for the house itself."""
    for node in ast.walk(ast.parse(code)):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "stillroom":
            module = (node.module or "").partition(".")[2]
            for alias in node.names:
                yield f"{module}.{alias.name}".strip(".")
        elif isinstance(node, ast.Import):
            for alias in node.names:
                if alias.name.split(".")[0] == "stillroom":
                    yield alias.name.partition(".")[2]


def wrong(room: str, code: str) -> list[str]:
    """What a module of a room imports and must not."""
    found = []
    for name in imports(code):
        other = name.split(".")[0]
        if other in BELOW:
            allowed = other == room or other in BELOW[room]
        else:
            allowed = other in TOP or room in PUBLIC_FROM or other == "__version__"
        if not allowed:
            found.append(name)
    return found


MODULES = [path for path in sorted(HOUSE.rglob("*.py")) if path.parent != HOUSE]


@pytest.mark.parametrize("path", MODULES, ids=lambda path: path.relative_to(HOUSE).as_posix())
def test_a_module_imports_only_from_the_rooms_below_its_own(path: Path) -> None:
    assert wrong(path.relative_to(HOUSE).parts[0], path.read_text(encoding="utf-8")) == []


@pytest.mark.parametrize(
    ("room", "line"),
    [
        ("answers", "from stillroom.recipes import printed"),
        ("package", "from stillroom.answers.stems import plain"),
        ("run", "def judge():\n    from stillroom.findings.opened import Table"),
        ("desk", "import stillroom.sheets.page"),
        ("findings", "from stillroom import find"),
    ],
)
def test_an_import_from_a_room_above_is_found_wherever_it_stands(room: str, line: str) -> None:
    assert wrong(room, line)


def test_a_near_miss_an_import_from_below_is_allowed() -> None:
    assert wrong("run", "from stillroom.day.handling import sentence\nfrom stillroom.errors import BadInput") == []


def test_the_top_imports_nothing_of_the_house_but_the_top() -> None:
    for name in TOP:
        found = {module.split(".")[0] for module in imports((HOUSE / f"{name}.py").read_text(encoding="utf-8"))}
        assert found <= set(TOP)


def test_every_module_stands_in_a_room_and_no_room_is_called_like_a_public_function() -> None:
    assert {path.relative_to(HOUSE).parts[0] for path in MODULES} == set(BELOW)
    assert not set(BELOW) & set(PUBLIC_FUNCTIONS)
    assert {path.stem for path in HOUSE.glob("*.py")} == {"__init__", "__main__", *TOP}


def test_no_modules_import_each_other_in_a_circle() -> None:
    names = {path.relative_to(HOUSE).with_suffix("").as_posix().replace("/", "."): path for path in HOUSE.rglob("*.py")}
    names = {name.removesuffix(".__init__"): path for name, path in names.items() if name != "__init__"}
    reach: dict[str, set[str]] = {}
    for name, path in names.items():
        found = set(imports(path.read_text(encoding="utf-8")))
        reach[name] = {other for other in names if other != name and (found & {other} or any(
            module.startswith(f"{other}.") and module not in names for module in found))}  # fmt: skip
    left = dict(reach)
    while left:
        free = [name for name, needs in left.items() if not needs & left.keys()]
        assert free, f"a circle among {sorted(left)}"
        for name in free:
            del left[name]
