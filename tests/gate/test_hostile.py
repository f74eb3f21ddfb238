"""A hostile package gets one line for each thing wrong, in bounded memory, and nothing is written.

Each package is a copy of the real one with one hostile thing in it. Where waiting or growing is the weapon, the command
runs within limits: it fails if it takes too long, cannot have more memory, and cannot write a byte. Where it is given
hundreds of megabytes, it runs in a process of its own under the same limits.
"""

from __future__ import annotations

import contextlib
import io
import json
import os
import resource
import shutil
import signal
import subprocess
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from stillroom.commands.main import main
from tests.repository import listing
from tests.trials import THOROUGH

FRUIT, VEGETABLES = "schedules/fruit.csv", "schedules/vegetables.csv"
MEMORY_BYTES = 2 * 2**30
"""Two gigabytes: the bound the benchmark sets for a package of a million rows."""
PATIENCE_S = 100


@pytest.fixture
def package(copy: Path, narrow: object) -> Path:
    return copy


def limited() -> None:
    """Limit a process that begins."""
    resource.setrlimit(resource.RLIMIT_AS, (MEMORY_BYTES, MEMORY_BYTES))
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))  # not one byte can be written


@contextlib.contextmanager
def limits(patience_s: int = PATIENCE_S) -> Iterator[None]:
    """Limit this process for a while: time, what it takes beyond the memory it has, and not one byte written."""

    def too_long(*_: object) -> None:
        pytest.fail(f"still running after {patience_s} seconds")  # an exception that nothing takes for an error

    has = int(Path("/proc/self/statm").read_text().split()[0]) * resource.getpagesize()
    bounds = {resource.RLIMIT_AS: has + MEMORY_BYTES, resource.RLIMIT_FSIZE: 0}
    usual = {kind: resource.getrlimit(kind) for kind in bounds}
    handler = signal.signal(signal.SIGALRM, too_long)
    signal.alarm(patience_s)
    for kind, bound in bounds.items():
        resource.setrlimit(kind, (bound, usual[kind][1]))
    try:
        yield
    finally:
        for kind, was in usual.items():
            resource.setrlimit(kind, was)
        signal.alarm(0)
        signal.signal(signal.SIGALRM, handler)


def checked(package: Path, *words: str, command: str = "check", apart: bool = False) -> tuple[int, list[str]]:
    """Run the command on a package, here or in a process of its own; give its exit status and its lines."""
    before = listing(package.parent)
    status, said = (_apart if apart else _here)([command, *words, str(package)])
    assert listing(package.parent) == before
    assert "Traceback" not in said
    assert status in (1, 2), said
    return status, said.splitlines()


def _here(words: list[str]) -> tuple[int, str]:
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err), limits():
        status = main(words)
    return status, out.getvalue() + err.getvalue()


def _apart(words: list[str]) -> tuple[int, str]:
    environment = {**os.environ, "PYTHONDONTWRITEBYTECODE": "1", "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    ran = subprocess.run(
        [sys.executable, "-m", "stillroom", *words],
        capture_output=True, text=True, timeout=PATIENCE_S, preexec_fn=limited, env=environment,
    )  # fmt: skip
    return ran.returncode, ran.stdout + ran.stderr


def test_the_limits_hold_in_this_process_and_are_lifted_again(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with limits(), pytest.raises(MemoryError):
        bytearray(2 * MEMORY_BYTES)
    with limits(), pytest.raises(OSError, match="too large"):
        (tmp_path / "file").write_text("a byte")
    with pytest.raises(pytest.fail.Exception, match="after 1 seconds"), limits(1), open(tmp_path / "pipe"):
        pass
    (tmp_path / "file").write_bytes(bytearray(2 * 2**20))


def about(lines: list[str], file: str, check: str) -> list[str]:
    return [line for line in lines if line.startswith(f"{file}:") and f" {check}: " in line]


def edit(package: Path, path: str, change: Callable[[bytes], bytes]) -> None:
    file = package / path
    file.write_bytes(change(file.read_bytes()))


def redeclare(package: Path, **values: object) -> None:
    """Change what datapackage.json says of the table of fruit."""
    file = package / "datapackage.json"
    descriptor = json.loads(file.read_text())
    next(r for r in descriptor["resources"] if r["name"] == "fruit").update(values)
    file.write_text(json.dumps(descriptor))


def test_the_package_itself_is_clean_under_the_same_limits(package: Path) -> None:
    status, said = _apart(["check", str(package)])
    assert (status, "no findings" in said) == (0, True)


def test_a_csv_of_200_mb_in_one_line(package: Path) -> None:
    edit(package, FRUIT, lambda content: content + b"x" * 200_000_000)
    _, lines = checked(package, apart=True)
    assert about(lines, FRUIT, "structure")


def test_a_csv_of_200_mb_of_blank_lines(package: Path) -> None:
    edit(package, FRUIT, lambda content: content + b"\n" * 200_000_000)
    _, lines = checked(package, apart=True)
    assert about(lines, FRUIT, "structure")
    assert len(lines) < 3_000


def test_a_csv_of_very_many_times_the_same_row(package: Path) -> None:
    row = (package / FRUIT).read_bytes().splitlines(keepends=True)[1]
    edit(package, FRUIT, lambda content: content + row * (200_000 if THOROUGH else 40_000))
    _, lines = checked(package, apart=True)
    assert about(lines, FRUIT, "structure")
    assert len(lines) < 10_000


def test_a_csv_of_200_mb_is_refused_by_the_comparison_unread(package: Path, pristine: Path) -> None:
    edit(package, FRUIT, lambda content: content + b"x" * 200_000_000)
    status, lines = checked(package, str(pristine), command="compare", apart=True)
    assert (status, len(lines)) == (2, 1)
    assert "larger than 128 MB" in lines[0]


def _lines(count: int) -> bytes:
    return b"".join(b"a%d,b%d,c%d,,,,,,,,,,,\n" % ((number,) * 3) for number in range(count))


@pytest.mark.parametrize(
    ("rows", "said"),
    [
        (lambda row: b"\n" * 2_000_001, "over 2,000,000 rows"),
        (lambda row: row.replace(b",5,", b",4,") * 500_001, "over 500,000 rows differ"),
        (lambda row: (b"," * 60_000 + b"\n") * 600, "over 32,000,000 cells"),
        (lambda row: _lines(400_000), "over 1,000,000 different cells"),
    ],
    ids=["rows", "differing", "cells", "texts"],
)
def test_a_table_that_would_fill_the_memory_is_refused_by_the_comparison_in_one_line(
    package: Path, pristine: Path, rows: Callable[[bytes], bytes], said: str
) -> None:
    edit(package, FRUIT, lambda content: content + rows(content.splitlines(keepends=True)[1]))
    status, lines = checked(package, str(pristine), command="compare", apart=True)
    assert (status, len(lines)) == (2, 1)
    assert said in lines[0]


def test_a_near_miss_a_hundred_thousand_new_rows_are_compared(package: Path, pristine: Path) -> None:
    new = (package / FRUIT).read_bytes().splitlines(keepends=True)[1].replace(b",5,", b",4,")
    edit(package, FRUIT, lambda content: content + new * 100_000)
    words = ["compare", str(pristine), str(package), "--changelog"]
    status, said = _apart(words)
    assert status == 0
    assert said.count("apple-butter") >= 100_000


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("a: &a [x, x, x, x, x, x, x, x, x]\n" + "".join(
            f"{c}: &{c} [{', '.join(['*' + p] * 9)}]\n" for p, c in zip("abcdefgh", "bcdefghi", strict=True)
        ), "alias"),
        ("food: figs\ntitle: Figs\ntitle: Not figs\n", "twice"),
        ("[" * 100_000, "nest"),
        (f"food: {'9' * 100_000}\n", ""),
        ("food: !!python/object/apply:os.system ['id']\n", ""),
        ("food: \x00\n", ""),
    ],
    ids=["bomb", "equal keys", "nested", "huge integer", "tag", "NUL"],
)  # fmt: skip
def test_a_hostile_recipe_is_one_line(package: Path, pristine: Path, text: str, said: str) -> None:
    folder = package / "schedules" / "recipes"
    folder.mkdir(exist_ok=True)
    if not (package / "schema" / "recipe.json").exists():
        (package / "schema" / "recipe.json").write_text(
            '{"type": "object", "properties": {"food": {"type": "string"}}}'
        )
    file = folder / "figs.yaml"
    file.write_text(text)
    status, lines = checked(package)
    found = about(lines, "schedules/recipes/figs.yaml", "recipes")
    assert status == 1
    assert len(found) == 1, lines
    assert len(found[0]) < 400
    status, lines = checked(package, str(pristine), command="compare")
    assert (status, len(lines)) == (2, 1), lines
    assert "recipes/figs.yaml" in lines[0]
    assert said in lines[0]


@pytest.mark.parametrize(
    "path",
    ["../fruit.csv", "schedules/../../fruit.csv", "/etc/passwd", "~/fruit.csv", "https://example.org/fruit.csv",
     "file:///etc/passwd", "C:\\fruit.csv", "schedules\\fruit.csv", "schedules/fruit.csv\n", ""],
)  # fmt: skip
def test_a_path_out_of_the_package_is_never_opened(package: Path, path: str) -> None:
    shutil.copy(package / FRUIT, package.parent / "fruit.csv")
    redeclare(package, path=path)
    status, lines = checked(package)
    assert status in (1, 2)
    assert len(about(lines, "datapackage.json", "structure")) == 1, lines


@pytest.mark.parametrize("schema", ["../schedule.json", "/etc/passwd", "https://example.org/schedule.json"])
def test_a_schema_out_of_the_package_is_never_opened(package: Path, schema: str) -> None:
    redeclare(package, schema=schema)
    _, lines = checked(package)
    assert about(lines, "datapackage.json", "structure")


def test_a_link_out_of_the_package_is_never_followed(package: Path, pristine: Path) -> None:
    (package / FRUIT).unlink()
    os.symlink("/etc/passwd", package / FRUIT)
    _, lines = checked(package)
    assert any("link" in line for line in lines)
    assert not any("root:" in line for line in lines)
    status, lines = checked(package, str(pristine), command="compare")
    assert (status, len(lines)) == (2, 1)
    assert "symbolic link" in lines[0]


NO_FILES: dict[str, Callable[[Path], None]] = {
    "pipe": os.mkfifo,
    "folder": os.mkdir,
    "device": lambda path: os.symlink("/dev/zero", path),
    "loop": lambda path: os.symlink(path, path),
}


IN_PLACE = [
    *((FRUIT, "structure", kind) for kind in NO_FILES),
    *(("schedules/recipes/figs.yaml", "recipes", kind) for kind in NO_FILES),
    ("schedules/readings/captions.csv", "structure", "pipe"),
    ("schema/schedule.json", "structure", "device"),
    ("schema/recipe.json", "recipes", "pipe"),
    ("schema/recipe.json", "recipes", "loop"),
    ("datapackage.json", "structure", "pipe"),
    ("datapackage.json", "structure", "folder"),
]


@pytest.mark.parametrize(("path", "check", "kind"), IN_PLACE)
def test_what_stands_in_place_of_a_file_does_not_hold_the_check_up(
    package: Path, pristine: Path, path: str, check: str, kind: str
) -> None:
    (package / path).unlink()
    NO_FILES[kind](package / path)
    status, said = _here(["check", str(package)])
    assert status == 1
    assert len(said.splitlines()) < 200
    assert about(said.splitlines(), path, check) or about(said.splitlines(), "datapackage.json", check)
    status, said = _here(["compare", str(pristine), str(package)])
    if kind == "folder" and path != "datapackage.json":  # the file is lost, which is weaker
        assert (status, "lost" in said or "withdrawn" in said) == (0, True), said
    else:
        assert (status, len(said.splitlines())) == (2, 1), said


@pytest.mark.parametrize("kind", NO_FILES)
def test_what_stands_in_place_of_an_older_version_is_one_line(package: Path, kind: str) -> None:
    old = package.parent / "old.zip"
    NO_FILES[kind](old)
    status, said = _here(["compare", str(old), str(package)])
    assert (status, len(said.splitlines())) == (2, 1), said
    assert "old.zip" in said


@pytest.mark.parametrize("kind", NO_FILES)
def test_what_stands_in_place_of_a_table_does_not_hold_an_answer_up(package: Path, kind: str) -> None:
    from stillroom.answers.lookup import Lookup
    from stillroom.answers.shelf import Shelf
    from stillroom.errors import BadPackage
    from stillroom.package.package import Package

    (package / "schedules/foods.csv").unlink()
    NO_FILES[kind](package / "schedules/foods.csv")
    with pytest.raises(BadPackage, match=r"schedules/foods\.csv (cannot be read|is missing)"):
        Lookup(Shelf(Package(str(package))))


ESCAPES = "\x1b[2J\x9b31m\x07\u202e"
"""Clears a terminal, colors it, rings it, and turns the direction of the line."""


@pytest.mark.parametrize("form", ["sheet", "--changelog", "--json"])
def test_no_control_character_of_a_package_reaches_the_terminal_through_a_comparison(
    package: Path, pristine: Path, form: str
) -> None:
    descriptor = json.loads((package / "datapackage.json").read_text())
    (package / "datapackage.json").write_text(json.dumps({**descriptor, "version": f"9{ESCAPES}"}))
    edit(package, FRUIT, lambda content: content.replace(b"Apple Butter", f"Apple{ESCAPES}".encode()))
    edit(package, FRUIT, lambda content: content.replace(b"apple-butter,", f"apple{ESCAPES},".encode()))
    edit(package, "shared/sources.csv", lambda content: content.replace(b"\n", f"{ESCAPES}\n".encode()))
    edit(package, "schedules/recipes/figs.yaml", lambda content: content + b'"k\\e[2J": "\\e[2J"\n')
    (package / f"shared/new{ESCAPES}.csv").write_text(f"a{ESCAPES}\n1\n")
    status, said = _here(["compare", *([form] if form != "sheet" else []), str(pristine), str(package)])
    assert status == 0
    assert len(said.splitlines()) > 20
    assert [line for line in said.splitlines() if not line.isprintable()] == []


@pytest.mark.parametrize("form", ["text", "json", "github", "sarif"])
def test_no_control_character_of_a_package_reaches_the_terminal_through_the_gate(
    package: Path, pristine: Path, form: str
) -> None:
    edit(package, FRUIT, lambda content: content.replace(b"Apple Butter", f"Apple{ESCAPES}".encode()))
    edit(package, "schedules/recipes/figs.yaml", lambda content: content + b'"k\\e[2J": "\\e[2J"\n')
    status, said = _here(["check", "--format", form, "--against", str(pristine), str(package)])
    assert status == 1
    assert "gate" in said
    assert [line for line in said.splitlines() if not line.isprintable()] == []


@pytest.mark.parametrize(
    "words",
    [
        ["find", ESCAPES, "--jar", "pint", "--altitude", "0 ft", "--canner", "dial"],
        ["find", f"figs{ESCAPES}", "--jar", ESCAPES, "--altitude", "0 ft", "--canner", "dial"],
        ["find", "figs", "--pack", "hot", "--jar", "pint", "--altitude", ESCAPES, "--canner", "dial"],
        ["foods", f"xyzzy{ESCAPES}"],
        ["foods", "--group", ESCAPES],
        ["recipe", "figs", "--without", f"salt{ESCAPES}"],
        ["recipe", "figs", "--jars", ESCAPES, "--jar", "pint"],
        ["plan", "figs", "--jars", "7", "--jar", "pint", "--altitude", "0 ft", "--canner", "dial", "--start", ESCAPES],
        ["judge", ESCAPES],
        ["season", ESCAPES],
        ["check", ESCAPES],
        ["check", ".", "--against", ESCAPES],
        ["check", "--format", ESCAPES],
        ["compare", ESCAPES],
        ["tidy", ESCAPES],
        [ESCAPES],
        ["find", f"--{ESCAPES}"],
        ["recipe", "figs", f"--{ESCAPES}"],
    ],
)
def test_no_control_character_of_an_argument_reaches_the_terminal(
    package: Path, monkeypatch: pytest.MonkeyPatch, words: list[str]
) -> None:
    monkeypatch.chdir(package)
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status = main(words)
        except SystemExit as stopped:
            status = int(stopped.code or 0)
    said = out.getvalue() + err.getvalue()
    assert status in (2, 3) or words[0] == "foods"
    assert "Traceback" not in said
    assert [line for line in said.splitlines() if not line.isprintable()] == []


@pytest.mark.parametrize(
    ("change", "check"),
    [
        (lambda content: content.replace(b"Apple Butter", b"Apple\0Butter", 1), "form"),
        (lambda content: b"\xef\xbb\xbf" + content, "form"),
        (lambda content: content.replace(b"\n", b"\r\n"), "form"),
        (lambda content: content.replace(b"Apple Butter", "Äpfel".encode("latin-1"), 1), "form"),
        (lambda content: content.decode().encode("utf-16"), "form"),
        (lambda content: b"", "structure"),
        (lambda content: content.replace(b",5,,usda", b"," + b"9" * 50_000 + b",,usda", 1), "structure"),
        (lambda content: content.replace(b"Apple Butter", b'"Apple Butter', 1), "structure"),
        (lambda content: content.replace(b"Apple Butter", b"=HYPERLINK(1)", 1), "form"),
    ],
    ids=["NUL", "BOM", "CRLF", "latin-1", "utf-16", "empty", "huge integer", "open quote", "formula"],
)
def test_hostile_bytes_in_a_table_are_told_with_their_line(
    package: Path, change: Callable[[bytes], bytes], check: str
) -> None:
    edit(package, FRUIT, change)
    _, lines = checked(package)
    assert about(lines, FRUIT, check), lines[:5]
    assert max(map(len, lines)) < 2_000


def test_a_missing_file_is_one_line(package: Path) -> None:
    (package / VEGETABLES).unlink()
    _, lines = checked(package)
    assert len(about(lines, VEGETABLES, "structure")) == 1


@pytest.mark.parametrize(
    "text",
    ["", "{", "[]", "null", '{"resources": 1}', "[" * 200_000, '{"a": ' * 200_000,
     '{"resources": ' + "9" * 100_000 + "}", '{"resources": [], "resources": []}', '{"resources": [NaN]}', "\ufeff{}"],
    ids=["empty", "cut", "list", "null", "number", "nested", "nested keys", "huge integer", "twice", "NaN", "BOM"],
)  # fmt: skip
def test_a_hostile_descriptor_is_told_in_few_short_lines(package: Path, pristine: Path, text: str) -> None:
    (package / "datapackage.json").write_text(text)
    _, lines = checked(package)
    assert any(line.startswith("datapackage.json") for line in lines), lines[:5]
    assert max(map(len, lines)) < 400
    checked(package, "--against", str(pristine))
