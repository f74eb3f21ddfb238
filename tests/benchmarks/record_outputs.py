"""What the commands and calls say, written to one file: made before and after a change that must alter no output.

Run by hand, and compare the two files::

    python tests/benchmarks/record_outputs.py before.txt
    python tests/benchmarks/record_outputs.py after.txt

Only the shell command and the public names of ``stillroom`` are used, so that modules may move between the two runs.
Names of folders that differ from run to run are written as PACKAGE and FOLDER. All logs and records are invented.
"""

from __future__ import annotations

import contextlib
import io
import os
import random
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import stillroom

ROOT = Path(__file__).resolve().parents[2]
SEED = 20
ALTITUDES = ("0 ft", "-20 m", "999 ft", "1000.5 ft", "1,650 ft", "503 m", "2001 ft", "4200 ft", "6001 ft", "8001 ft")
JARS = ("half-pint", "12-ounce", "pint", "pint-and-half", "quart", "half-gallon")
CANNERS = ("boiling-water", "dial", "weighted", "steam")
NAMES = (
    "green beans", "raspberries", "split pea soup", "garlic in oil", "banana bread", "haricots verts", "tomatos",
    "elderberries", "banana", "butter", "lemon curd", "stock", "", "corn relish", "x" * 200, "jalape\u00f1os",
)  # fmt: skip
EDITS = (
    ("schedules/vegetables.csv", ",20,11,", ",15,11,"),
    ("schedules/acid.csv", ",1,", ",0.5,"),
    ("schedules/foods.csv", "low-acid", "acid"),
    ("schedules/fruit.csv", "boiling-water", "boiling"),
    ("shared/cautions.csv", "must", "note"),
    ("schedules/recipes/figs.yaml", "2-14", "2-15"),
    ("schedules/readings/schedules-first.csv", ",25,", ",26,"),
    ("shared/rules.csv", "vent-time,10,", "vent-time,5,"),
    ("schedules/aliases.csv", "alias,", "name,"),
    ("schedules/conditions.csv", "\n", "\r\n"),
)


def run(*words: str) -> str:
    """Run the shell command in this process; what it printed, what it complained of, and its status."""
    from importlib.metadata import entry_points

    main = next(iter(entry_points(group="console_scripts", name="stillroom"))).load()
    out, err = io.StringIO(), io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(err):
        try:
            status = main(list(words))
        except SystemExit as stop:
            status = stop.code
    return f"$ stillroom {' '.join(words)}\n{out.getvalue()}--- {err.getvalue()}=== {status}\n"


def finds(chance: random.Random) -> Iterator[str]:
    """Questions over all foods, in canners and jars that fit or do not."""
    for food in stillroom.foods():
        words = ["find", *food.id.split("-"), "--jar", chance.choice(JARS), "--canner", chance.choice(CANNERS)]
        words += ["--altitude", chance.choice(ALTITUDES)]
        words += ["--pack", chance.choice(("hot", "raw"))] if chance.random() < 0.7 else []
        yield run(*words, *(["--json"] if chance.random() < 0.3 else []))
    for name in NAMES:
        yield run("find", name, "--jar", "pint", "--canner", "dial", "--altitude", "10 ft", "--pack", "hot")
    for words in (["1650"], ["1.650 ft"], ["high"], ["40000 ft"], ["6 miles"]):
        yield run("find", "beets", "--jar", "pint", "--canner", "dial", "--altitude", *words)


def lists() -> Iterator[str]:
    """Lists of foods, help, and words that are no command."""
    for words in ([], ["corn"], ["tomto"], ["--group", "fruit"], ["--group", "meat"], ["--json", "peas"]):
        yield run("foods", *words)
    yield run()
    yield run("cook")
    for name in ("find", "foods", "plan", "recipe", "judge", "season", "check", "tidy", "compare"):
        yield run(name, "--help")
        yield run(name, "--no-such-option")


def recipes(chance: random.Random) -> Iterator[str]:
    """Every recipe once: as printed or for jars, as text or as a document."""
    for food in stillroom.foods():
        words = ["recipe", food.id]
        if chance.random() < 0.6:
            words += ["--jars", str(chance.randrange(1, 40)), "--jar", chance.choice(JARS[2:5])]
        words += ["--pack", chance.choice(("hot", "raw"))] if chance.random() < 0.2 else []
        yield run(*words, *(["--json"] if chance.random() < 0.3 else []))
    for without in ("salt", "lemon juice", "sugar", "feathers"):
        yield run("recipe", "tomato sauce", "--without", without)
        yield run("recipe", "peach salsa", "--without", without)


def plans(chance: random.Random, folder: Path) -> Iterator[str]:
    """Days for every third food, some with a run sheet."""
    for number, food in enumerate(stillroom.foods()):
        if number % 3:
            continue
        words = ["plan", food.id, "--jars", str(chance.randrange(1, 60)), "--jar", chance.choice(("pint", "quart"))]
        words += ["--canner", chance.choice(CANNERS), "--altitude", chance.choice(ALTITUDES)]
        words += ["--pack", chance.choice(("hot", "raw"))] if chance.random() < 0.7 else []
        words += ["--gauge-reads-high", chance.choice(("0.5 psi", "-1 psi", "3 psi"))] if chance.random() < 0.2 else []
        words += ["--start", "08:00"] if chance.random() < 0.5 else []
        words += ["--holds", "7"] if chance.random() < 0.5 else []
        yield run(*words, *(["--json"] if chance.random() < 0.3 else []))
    beans = ["plan", "snap", "beans", "--jars", "15", "--jar", "quart", "--altitude", "1650 ft", "--pack", "raw"]
    for ending in ("md", "html"):
        for more in (["--canner", "dial", "--gauge-reads-high", "0.5 psi"], ["--canner", "weighted"]):
            sheet = folder / f"sheet.{ending}"
            yield run(*beans, *more, "--sheet", str(sheet))
            yield sheet.read_text(encoding="utf-8")
            sheet.unlink()
    yield run(*beans, "--canner", "dial", "--sheet", str(folder / "sheet.pdf"))


LOGS = {
    "good": "minute,gauge_psi,event\n0,0,vent-start\n11,0,weight-on\n16,11,\n21,11.2,\n26,11,\n31,11,\n36,11.5,\n"
    "42,11,heat-off\n70,0,lock-dropped\n",
    "dip": "minute,gauge_psi,event\n0,0,vent-start\n11,0,weight-on\n16,11,\n21,10.5,\n26,11,\n31,11,\n42,11,heat-off\n",
    "no-vent": "minute,gauge_psi\n16,11\n21,11.2\n26,11\n31,11\n36,11.5\n42,11\n",
    "gap": "minute,gauge_psi,event\n0,0,vent-start\n11,0,weight-on\n16,11,\n42,11,heat-off\n",
    "contradicted": "minute,gauge_psi,event\n0,5,vent-start\n11,5,weight-on\n16,11,\n24,11,\n32,11,\n42,11,heat-off\n",
    "kpa": "time,gauge_kpa,event\n2026-08-15T10:00,0,vent-start\n2026-08-15T10:11,0,weight-on\n"
    "2026-08-15T10:16,76,\n2026-08-15T10:25,76.2,\n2026-08-15T10:33,76.2,\n2026-08-15T10:42,76,heat-off\n",
    "words": "minute,gauge_psi\n0,eleven\n",
    "columns": "minute,psi\n0,11\n",
    "back": "minute,gauge_psi\n5,11\n4,11\n",
    "empty": "",
}
RECORD = """food: snap beans
pack: raw
jar: quart
jars: 7
altitude: 1650 ft
canner: dial
gauge: {{reads_high_by: {off} psi, tested: 2026-06-01}}
run: {log}.csv
date: 2026-08-15
"""


def runs(folder: Path) -> Iterator[str]:
    """Logs of many kinds, judged with a gauge that is true, a little off, and useless; and a season of them."""
    for name, log in LOGS.items():
        (folder / f"{name}.csv").write_text(log, encoding="utf-8")
        for off in ("0", "0.5", "3"):
            record = folder / f"{name}-{off}.yaml"
            record.write_text(RECORD.format(off=off, log=name), encoding="utf-8")
            yield run("judge", str(record), "--save", str(folder / "season"))
        yield run("judge", str(folder / f"{name}-0.yaml"), "--json")
    for text in ("", "food: beans\n", RECORD.format(off="0", log="good") + "food: beets\n", "a: &b c\n", "- a\n"):
        (folder / "odd.yaml").write_text(text, encoding="utf-8")
        yield run("judge", str(folder / "odd.yaml"))
    for demo in ("beans", "corn"):
        yield run("judge", str(ROOT / "shared/demo" / f"{demo}.yaml"))
        yield run("judge", str(ROOT / "shared/demo" / f"{demo}.yaml"), "--chart", str(folder / f"{demo}.svg"))
        yield (folder / f"{demo}.svg").read_text(encoding="utf-8")
    yield run("season", str(folder / "season"))
    yield run("season", str(folder / "season"), "--json")
    yield run("season", str(folder / "season"), "--csv", str(folder / "season.csv"))
    yield (folder / "season.csv").read_text(encoding="utf-8")


def checks(folder: Path) -> Iterator[str]:
    """The package as it is and after wrong edits: checked, tidied, and held against the one before."""
    yield run("check", "--list")
    yield run("check", str(ROOT))
    yield run("tidy", str(ROOT), "--check")
    yield run("check", str(folder / "nowhere"))
    yield run("compare", str(ROOT), str(ROOT))
    for number, (file, old, new) in enumerate(EDITS):
        edited = folder / f"edit-{number}"
        edited.mkdir()
        for part in ("schedules", "shared", "schema"):
            shutil.copytree(ROOT / part, edited / part)
        for part in ("datapackage.json", "CHANGELOG.md"):
            shutil.copy(ROOT / part, edited / part)
        path = edited / file
        before = path.read_bytes().decode()
        if old not in before:
            raise SystemExit(f"{file} holds no {old!r}: mend EDITS")
        path.write_bytes(before.replace(old, new, 1).encode())
        formats = ("text", "json", "github", "sarif")
        yield run("check", str(edited), "--format", formats[number % 4])
        yield run("check", str(edited), "--against", str(ROOT))
        yield run("compare", str(ROOT), str(edited), *(["--json"] if number % 2 else []))
        yield run("tidy", str(edited), "--check")


def plain(value: Any) -> Any:
    """Lay a result out as lists of names and values; sentences as they are read."""
    if type(value).__name__ == "Stated":
        return str(value)
    if hasattr(value, "_asdict"):
        return {name: plain(part) for name, part in value._asdict().items()}
    if hasattr(value, "__dataclass_fields__"):
        return {name: plain(getattr(value, name)) for name in value.__dataclass_fields__}
    return [plain(part) for part in value] if isinstance(value, tuple) else value


def calls(chance: random.Random) -> Iterator[str]:
    """Calls from Python, with what they give or raise."""
    asked: list[tuple[Any, dict[str, Any]]] = []
    for food in stillroom.foods():
        where = {"jar": chance.choice(JARS), "altitude": chance.choice(ALTITUDES), "canner": chance.choice(CANNERS)}
        asked.append((stillroom.find, {"food": food.title, "pack": chance.choice(("hot", "raw", None)), **where}))
    asked += [
        (stillroom.plan, {"food": "corn", "jars": 9, "jar": "pint", "altitude": "0 ft", "canner": "dial"}),
        (stillroom.recipe, {"food": "figs", "jars": 9, "jar": "pint"}),
        (stillroom.recipe, {"food": "soup", "jars": "many"}),
        (stillroom.foods, {"text": "beans"}),
        (stillroom.find, {"food": 3, "jar": "pint", "altitude": "0 ft", "canner": "dial"}),
        (stillroom.find, {"food": "beets", "jar": None, "altitude": 300, "canner": "dial"}),
        (stillroom.judge, {"path": str(ROOT / "shared/demo/none.yaml")}),
        (stillroom.compare, {"old": "no-such-ref"}),
    ]
    for call, words in asked:
        try:
            said = repr(plain(call(**words)))
        except stillroom.StillroomError as error:
            near = [plain(tested) for tested in getattr(error, "tested", ())]
            said = f"{type(error).__name__}: {error} {getattr(error, 'code', '')} {near}"
        yield f">>> {call.__name__} {words}\n{said}\n"


def main() -> None:
    """Write what everything says to the file that is named."""
    chance = random.Random(SEED)
    with tempfile.TemporaryDirectory() as made, Path(sys.argv[1]).open("w", encoding="utf-8") as file:
        folder = Path(made)
        os.environ["XDG_CONFIG_HOME"] = str(folder / "settings")  # no kitchen file of whoever runs this
        count = 0
        for said in (
            *finds(chance), *lists(), *recipes(chance), *plans(chance, folder), *calls(chance), *runs(folder),
            *checks(folder),
        ):  # fmt: skip
            count += 1
            file.write(said.replace(str(folder), "FOLDER").replace(str(ROOT), "PACKAGE"))
    print(f"{count} commands and calls")


if __name__ == "__main__":
    main()
