"""Whatever words and files the command is given, it ends with its own statuses and says why in printable lines."""

from __future__ import annotations

import contextlib
import io
import os
import shutil
import tempfile
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from stillroom.commands import SUMMARIES
from stillroom.commands.main import main
from tests.trials import trials

HOME = Path(__file__).resolve().parents[2]
FILES = {
    "empty.yaml": b"",
    "deep.yaml": b"[" * 5_000,
    "nul.yaml": b"food: \0",
    "latin.yaml": b"food: \xff",
    "twice.yaml": b"food: figs\nfood: pears\n",
    "twice.toml": b'altitude = "0 ft"\naltitude = "9 ft"\n',
    "deep.toml": b"a = " + b"[" * 5_000,
    "escape.toml": b'altitude = "\\u001b[2J"\n',
    "big.yaml": b"a: " + b"x" * 200_000,
    "escape.yaml": b'"\\e[2J": "\\e[2J"\n',
    "empty.zip": b"",
    "cut.zip": b"PK\3\4" + b"x" * 100,
    "list/datapackage.json": b"[]",
    "deep/datapackage.json": b"[" * 900 + b"]" * 900,
    "odd/datapackage.json": b'{"resources": [{"name": "a", "path": "a.csv", "schema": "s.json"}]}',
    "odd/a.csv": b"a,b\n1",
    "odd/s.json": b'{"fields": [{"name": "a", "type": []}, {"name": "b", "constraints": 5}], "primaryKey": [1]}',
    "log/a.yaml": b"[" * 100,
    "log/b.yaml": b"",
}
USUAL = {
    "find": ["figs", "--pack", "hot", "--jar", "pint", "--altitude", "0 ft", "--canner", "boiling-water"],
    "foods": ["corn"],
    "plan": [
        "figs",
        "--jars",
        "7",
        "--pack",
        "hot",
        "--jar",
        "pint",
        "--altitude",
        "0 ft",
        "--canner",
        "boiling-water",
    ],
    "recipe": ["apple pie filling", "--jars", "7", "--jar", "quart"],
    "kitchen": ["--show"],
    "judge": ["kept.yaml"],
    "season": ["log"],
    "steam": ["--altitude", "5000 ft", "--psi", "11"],
    "check": ["odd"],
    "tidy": ["odd"],
    "compare": ["odd", "list"],
}
WORDS = [
    "figs", "snap beans", "tomato", "", "-", "--", "-x", "--jar", "--jar=quart", "--altitude", "--altitude=1e9 m",
    "--pack=raw", "--canner=weighted", "--form=with-bones", "--json", "--jars=9999999999999999999999", "--jars=x",
    "--holds=-1", "--option-minutes=x", "--gauge-reads-high=1/0 psi", "--gauge-tested=2020-02-30", "--start=25:00",
    "--sheet=/no/x.html", "--sheet=list", "--variety=x", "--column=x", "--without=salt", "--without=", "--group=x",
    "--chart=/dev/null/x.png", "--save=pipe.yaml", "--csv=list", "--plot=list/x.svg", "--list", "--format=sarif",
    "--format=github", "--against=list", "--against=z.zip", "--against=HEAD", "--check", "--changelog", "z.zip",
    "--kitchen=escape.toml", "--kitchen=deep.toml", "--kitchen=pipe.yaml", "--no-kitchen", "--show", "--here",
    "--replace", "--holds=quart 7", "--holds=dial: x", "--weight=10 psi", "--weight=", "pipe.yaml", "nope", "/dev/null",
    "/dev/zero", "\udcff", "\x1b[2J", "a\0b", "x" * 5_000, "\u00e9", "@file", "%s", "{}", "\u0663", *FILES,
    "--psi=1e9", "--psi=-15", "--psi=0.8 bar", "--compare-undisturbed", "--why=pipe.yaml",
]  # fmt: skip


@pytest.fixture(scope="module")
def strange() -> Iterator[Path]:
    """A folder of strange files, to stand in; what is written for the user is written there too."""
    here = os.getcwd()
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for name, content in FILES.items():
            (root / name).parent.mkdir(exist_ok=True)
            (root / name).write_bytes(content)
        os.mkfifo(root / "pipe.yaml")
        with zipfile.ZipFile(root / "z.zip", "w") as archive:
            archive.writestr("datapackage.json", "[" * 900 + "]" * 900)
        for path in (HOME / "shared/demo").iterdir():
            shutil.copy(path, root / ("kept.yaml" if path.suffix == ".yaml" else path.name))
        os.chdir(root)
        with pytest.MonkeyPatch.context() as patch:
            patch.setenv("XDG_CONFIG_HOME", folder)
            yield root
        os.chdir(here)


@settings(max_examples=trials(300), deadline=None, suppress_health_check=list(HealthCheck))
@given(
    command=st.sampled_from([*SUMMARIES, "", "nope", "\x1b[2J", "-h"]),
    bare=st.booleans(),
    edits=st.lists(st.tuples(st.integers(0, 12), st.sampled_from(WORDS), st.booleans()), max_size=4),
)
def test_any_words_end_with_a_status_and_a_reason(
    strange: Path, command: str, bare: bool, edits: list[tuple[int, str, bool]]
) -> None:
    words = [] if bare else list(USUAL.get(command, ()))
    for place, word, replaces in edits:
        words[place : place + replaces] = [word]
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status = main([command, *words])
        except SystemExit as stopped:
            status = int(stopped.code or 0)
    said = out.getvalue() + err.getvalue()
    assert status in (0, 1, 2, 3)
    assert said or command == "foods"
    assert [line for line in said.splitlines() if not line.isprintable()] == []
    told = [line for line in err.getvalue().splitlines() if " was left out: " not in line]  # one line for each check
    assert status != 2 or len(told) <= 3
