"""How fast everything is, beside what others would use: one command, one sitting, medians, written as a table.

Run by hand, on an idle machine, from an environment outside the checkout where stillroom is installed as a wheel with
its groups ``check``, ``day``, ``export`` and ``frames``, and polars beside them::

    python tests/benchmarks/every_speed.py [--out tests/benchmarks/speeds.md] [--quick]

Ways to the same answer take turns, so that a slow moment of the machine meets all of them. What is written is a ratio
of medians: the time of Stillroom by that of the other; below 1 Stillroom is faster. Seconds are those of this machine.
"""

from __future__ import annotations

import argparse
import datetime
import os
import statistics
import subprocess
import sys
import sysconfig
import tempfile
import time
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

QUESTION = "'snap beans', pack='raw', jar='quart', altitude='1650 ft', canner='dial'"
SHELL = ["find", "snap", "beans", "--pack", "raw", "--jar", "quart", "--altitude", "1650 ft", "--canner", "dial"]
FILTER = "food = 'snap-beans' AND pack = 'raw' AND jar = 'quart' AND canner = 'dial'"
BAND = "coalesce(above_ft, -1e9) < 1650 AND 1650 <= coalesce(to_ft, 1e9)"
PLACE = "from stillroom.package.package import home; path = home() + '/schedules/answers.csv'"
ASKED = {"food": "snap-beans", "pack": "raw", "jar": "quart", "canner": "dial"}
WHOLE: Mapping[str, str] = {
    "the bare interpreter": "pass",
    "pandas": f"""{PLACE}
import pandas as pd
rows = pd.read_csv(path).fillna({{"above_ft": -1e9, "to_ft": 1e9}})
rows = rows[(rows[list({ASKED})] == pd.Series({ASKED})).all(axis=1)]
print(rows[(rows.above_ft < 1650) & (1650 <= rows.to_ft)].minutes.item())""",
    "polars": f"""{PLACE}
import polars as pl
rows = pl.scan_csv(path, infer_schema_length=None).filter(**{ASKED})
near = rows.filter(pl.col("above_ft").fill_null(-1e9) < 1650, pl.col("to_ft").fill_null(1e9) >= 1650)
print(near.collect()["minutes"].item())""",
    "DuckDB": f"""{PLACE}
import duckdb
print(duckdb.sql(f"SELECT minutes FROM read_csv('{{path}}') WHERE {FILTER} AND {BAND}").fetchall()[0][0])""",
    "Frictionless": f"""{PLACE}
from frictionless import Package
rows = Package(home() + "/datapackage.json").get_resource("answers").read_rows()
asked = {ASKED}
near = [row for row in rows if all(row[name] == asked[name] for name in asked)
        and (row["above_ft"] is None or row["above_ft"] < 1650) and (row["to_ft"] is None or 1650 <= row["to_ft"])]
print(near[0]["minutes"])""",
}
"""Whole processes that read the table of answers and filter it."""
KEYS = ["food", "form", "pack", "jar", "canner"]
JOIN = """SELECT q.*, a.result, a.option, a.minutes, a.pressure_psi, a.headspace_in, a.acid, a.requires, a.cautions,
  a.by_rule, a.follows, a.source, a.page FROM q LEFT JOIN a ON q.food = a.food AND q.form = a.form
  AND q.pack = a.pack AND q.jar = a.jar AND q.canner = a.canner AND coalesce(a.above_ft, -1e9) < q.altitude_ft
  AND q.altitude_ft <= coalesce(a.to_ft, 1e9)"""
MEMORY = """
import re, sys
import pyarrow.parquet as parquet
import stillroom
asked = parquet.read_table(sys.argv[1])
if sys.argv[2] == "pandas":
    asked = asked.to_pandas()
elif sys.argv[2] == "polars":
    import polars
    asked = polars.from_arrow(asked)
found = stillroom.find_many(asked)
print(int(re.search("VmHWM:[^0-9]*([0-9]+)", open("/proc/self/status").read())[1]) // 1024)
"""
CHECK = "import stillroom, sys; print(len(stillroom.check(sys.argv[1]).findings))"
FRICTIONLESS = """
import sys
from frictionless import Package, system
with system.use_context(trusted=True):
    print(len(Package(sys.argv[1] + "/datapackage.json").validate().flatten()))
"""
Ways = Mapping[str, Callable[[], object]]


class Line(NamedTuple):
    """One line of the table: what was done, by what, how long it took (seconds), and what it is compared with."""

    what: str
    seconds: float
    beside: str
    others: float

    def __str__(self) -> str:
        told = f"{self.seconds:.3f}" if self.seconds < 1 else f"{self.seconds:.2f}"
        other = f"{self.others:.3f}" if self.others < 1 else f"{self.others:.2f}"
        return f"| {self.what} | {told} s | {self.beside} | {other} s | {self.seconds / self.others:.2f} |"


def medians(ways: Ways, rounds: int) -> dict[str, float]:
    """Seconds of each way, median of so many rounds, in each of which all ways have their turn."""
    taken: dict[str, list[float]] = {name: [] for name in ways}
    for _ in range(rounds):
        for name, way in ways.items():
            start = time.perf_counter()
            made = way()
            taken[name].append(time.perf_counter() - start)
            del made
    return {name: statistics.median(times) for name, times in taken.items()}


def process(*command: str) -> Callable[[], object]:
    """A way that runs a command to its end."""
    return lambda: subprocess.run(command, check=True, capture_output=True)


def compared(mine: Mapping[str, float], what: str, others: list[str]) -> list[Line]:
    """Lines of one way beside each of others."""
    return [Line(what, mine[what], other, mine[other]) for other in others]


def once(rounds: int) -> list[Line]:
    """Ask one question, as a whole process: from Python, and with the shell command."""
    ask, shell = "import and ask once", "ask with the shell command"
    ways = {
        ask: process(sys.executable, "-c", f"import stillroom; print(stillroom.find({QUESTION}).options[0].minutes)"),
        shell: process(str(Path(sysconfig.get_path("scripts")) / "stillroom"), *SHELL),
        **{name: process(sys.executable, "-c", code) for name, code in WHOLE.items()},
    }
    found = medians(ways, rounds)
    return compared(found, ask, list(WHOLE)) + compared(found, shell, list(WHOLE))


def questions(number: int) -> Any:
    """Draw questions from the rows of the table of answers, each at a random height; ids, feet to a tenth."""
    import numpy as np
    import pandas as pd

    from stillroom.package.package import home

    answers = pd.read_csv(os.path.join(home(), "schedules", "answers.csv")).fillna({"form": "", "pack": ""})
    chance = np.random.default_rng(539)
    asked = answers[KEYS].iloc[chance.integers(0, len(answers), number)].reset_index(drop=True)
    asked["altitude_ft"] = chance.uniform(-100, 10_000, number).round(1)
    return asked


def many(number: int, rounds: int) -> list[Line]:
    """Ask a million questions at once, in three kinds of frames, beside joins on the same table."""
    import duckdb
    import pandas as pd
    import polars as pl
    import pyarrow as pa

    import stillroom

    asked = questions(number)
    table, frame = pa.Table.from_pandas(asked), pl.from_pandas(asked)
    path = str(stillroom.data_path("answers"))
    blank = {"form": "", "pack": "", "above_ft": -1e9, "to_ft": 1e9}
    answers = pd.read_csv(path).fillna(blank)
    in_polars = pl.from_pandas(answers)
    base = duckdb.connect()
    base.execute(f"CREATE TABLE a AS SELECT * FROM read_csv('{path}', force_not_null = ['form', 'pack'])")
    base.register("q", table.append_column("place", pa.array(range(number))))

    def merged() -> Any:
        found = asked.merge(answers, on=KEYS, how="left")
        return found[(found.above_ft < found.altitude_ft) & (found.altitude_ft <= found.to_ft)]

    def joined() -> Any:
        found = frame.join(in_polars, on=KEYS, how="left", maintain_order="left")
        return found.filter(pl.col("above_ft") < pl.col("altitude_ft"), pl.col("altitude_ft") <= pl.col("to_ft"))

    kinds = {"an Arrow table": table, "a pandas frame": asked, "a polars frame": frame}
    ways: dict[str, Callable[[], object]] = {
        f"{number:,} questions, {kind}": lambda held=held: stillroom.find_many(held) for kind, held in kinds.items()
    }
    others: dict[str, Callable[[], object]] = {
        "DuckDB join, in no order": lambda: base.sql(JOIN).to_arrow_table(),
        "DuckDB join, in order": lambda: base.sql(f"{JOIN} ORDER BY q.place, a.option").to_arrow_table(),
        "pandas merge": merged,
        "polars join": joined,
    }
    for way in ways.values():
        way()  # the table of answers is laid out before the clock starts, as those of the others are
    found = medians({**ways, **others}, rounds)
    return [line for what in ways for line in compared(found, what, list(others))]


def most_memory(number: int) -> list[str]:
    """Memory of a whole process that answers so many questions, at most, by kind of frame (on Linux)."""
    told = []
    with tempfile.TemporaryDirectory() as folder:
        path = os.path.join(folder, "asked.parquet")
        questions(number).to_parquet(path)
        for kind in ("arrow", "pandas", "polars"):
            ran = subprocess.run([sys.executable, "-c", MEMORY, path, kind], check=True, capture_output=True, text=True)
            told.append(f"{kind} {ran.stdout.strip()} MB")
    return told


def checked(rounds: int) -> list[Line]:
    """Check the whole package, as a whole process."""
    import stillroom

    root, what = str(stillroom.data_path()), "check the package"
    ways = {
        what: process(sys.executable, "-c", CHECK, root),
        "Frictionless validate": process(sys.executable, "-c", FRICTIONLESS, root),
    }
    return compared(medians(ways, rounds), what, ["Frictionless validate"])


def judged(readings: int, rounds: int) -> list[Line]:
    """Judge a log of a million readings, beside only reading it."""
    import pandas as pd
    from judge_speed import write

    import stillroom

    with tempfile.TemporaryDirectory() as folder:
        batch, what = str(write(Path(folder), readings)), f"judge a log of {readings:,} readings"
        ways: dict[str, Callable[[], object]] = {
            what: lambda: stillroom.judge(batch),
            "pandas, reading it": lambda: pd.read_csv(
                os.path.join(folder, "run.csv"), parse_dates=["time"], low_memory=False
            ),
        }
        stillroom.judge(batch)
        return compared(medians(ways, rounds), what, ["pandas, reading it"])


def main() -> int:
    """Measure all, and print or write the table."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0] if __doc__ else None)
    parser.add_argument("--out", help="file to write the table to")
    parser.add_argument("--quick", action="store_true", help="few rounds, a tenth of the questions: to try it out")
    said = parser.parse_args()
    number, runs, rounds = (100_000, 3, 3) if said.quick else (1_000_000, 15, 9)
    lines = [*once(runs), *many(number, rounds), *checked(3 if said.quick else 5), *judged(number, 3)]
    memory = ", ".join(most_memory(number))
    text = "\n".join(
        (
            f"Measured on {datetime.date.today():%Y-%m-%d}, Python {sys.version.split()[0]}, {os.cpu_count()} cores; "
            "medians of one sitting. Below 1 Stillroom is faster.",
            "",
            "| what | Stillroom | beside | takes | ratio |",
            "|---|---|---|---|---|",
            *map(str, lines),
            "",
            f"Memory of a whole process that answers {number:,} questions, at most: {memory}.",
            "",
        )
    )
    sys.stdout.write(text)
    if said.out:
        Path(said.out).write_text(text, encoding="utf-8")
    return 0


if __name__ == "__main__":
    sys.exit(main())
