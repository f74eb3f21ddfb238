"""The speeds that the README quotes are lines of what one command measured and wrote."""

from __future__ import annotations

import re

from tests.conftest import ROOT

MEASURED = (ROOT / "tests/benchmarks/speeds.md").read_text(encoding="utf-8")
README = (ROOT / "README.md").read_text(encoding="utf-8")
HEAD = "| what | Stillroom | beside | takes | ratio |"


def test_each_line_that_is_quoted_stands_in_the_table_and_its_ratio_follows_from_its_figures() -> None:
    quoted = README.split(HEAD)[1].split("\n\n")[0].strip().splitlines()[1:]
    assert len(quoted) > 10
    for line in quoted:
        assert line in MEASURED.splitlines()
        mine, other, ratio = (float(figure) for figure in re.findall(r"\| ([0-9.]+)(?: s)? (?=\|)", line))
        assert abs(mine / other - ratio) < 0.06 * ratio + 0.006, line


def test_a_million_questions_take_no_longer_than_a_join_and_less_than_a_gigabyte() -> None:
    joins = re.findall(r"questions, .*\| DuckDB join.*\| ([0-9.]+) \|$", MEASURED, re.MULTILINE)
    assert len(joins) == 6 and all(float(ratio) <= 1 for ratio in joins)
    memory = re.findall(r"([0-9]+) MB", MEASURED)
    assert len(memory) == 3 and all(int(megabytes) < 1000 for megabytes in memory)
