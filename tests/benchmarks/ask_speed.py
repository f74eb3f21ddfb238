"""How fast an answer is: whole processes against pandas reading and filtering the same table, and warm answers.

Run by hand, on an idle machine, from an environment where stillroom is installed as a wheel::

    python tests/benchmarks/ask_speed.py
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import sysconfig
import time
from pathlib import Path

RUNS = 15
QUESTION = "'snap beans', pack='raw', jar='quart', altitude='1650 ft', canner='dial'"
ASK = f"import stillroom; print(stillroom.find({QUESTION}).options[0].minutes)"
PANDAS = """
import pandas as pd
from stillroom.package.package import home
rows = pd.read_csv(home() + "/schedules/vegetables.csv")
here = (rows.altitude_from_ft <= 1650) & ~(rows.altitude_to_ft < 1650)
here &= (rows.food == "snap-beans") & (rows.pack == "raw") & (rows.jar == "quart") & (rows.gauge == "dial")
print(rows[here].minutes.item())
"""
SHELL = ["find", "snap", "beans", "--pack", "raw", "--jar", "quart", "--altitude", "1650 ft", "--canner", "dial"]
GOALS = {"library": 0.15, "shell": 0.25}
WARM_GOAL = 50_000


def medians() -> dict[str, float]:
    """Seconds of whole processes, taken in turn so that a slow moment of the machine meets all of them."""
    commands = {
        "library": [sys.executable, "-c", ASK],
        "shell": [str(Path(sysconfig.get_path("scripts")) / "stillroom"), *SHELL],
        "pandas": [sys.executable, "-c", PANDAS],
    }
    taken: dict[str, list[float]] = {name: [] for name in commands}
    for _ in range(RUNS):
        for name, command in commands.items():
            start = time.perf_counter()
            subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
            taken[name].append(time.perf_counter() - start)
    return {name: statistics.median(times) for name, times in taken.items()}


def warm_per_second() -> float:
    """Answers a second in one process, over questions that differ in food, jar, canner and altitude."""
    import stillroom

    shelf = stillroom.shelf()
    questions = [
        (food, {"form": form or None, "pack": pack or None, "jar": jar, "canner": canner, "altitude": f"{altitude} ft"})
        for food in list(shelf.foods)[::4]
        for form, pack, jar, canner in shelf.chart_of(food)
        for altitude in (0, 999, 2500, 7999)
    ]
    for food, asked in questions:
        stillroom.find(food, **asked)
    start = time.perf_counter()
    for _ in range(20):
        for food, asked in questions:
            stillroom.find(food, **asked)
    return 20 * len(questions) / (time.perf_counter() - start)


if __name__ == "__main__":
    taken = medians()
    met = True
    for name, goal in GOALS.items():
        ratio = taken[name] / taken["pandas"]
        met &= ratio <= goal
        print(
            f"{name}: {1000 * taken[name]:.0f} ms, {ratio:.3f} of pandas ({1000 * taken['pandas']:.0f} ms), goal {goal}"
        )
    warm = warm_per_second()
    print(f"warm: {warm:,.0f} answers a second, goal {WARM_GOAL:,}")
    sys.exit(0 if met and warm >= WARM_GOAL else 1)
