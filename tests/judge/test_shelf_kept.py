"""A season in rough hands: many at once, disks without links, slips, words that are code; and labels that fit."""

from __future__ import annotations

import csv
import errno
import os
import re
import shutil
import subprocess
import sys
import unicodedata
import xml.etree.ElementTree as ET
from html.parser import HTMLParser
from pathlib import Path

import pytest
import yaml

import stillroom
from stillroom.commands.main import main
from stillroom.package import files
from stillroom.run import season
from stillroom.sheets import label_sheet, season_chart, season_sheet
from tests.conftest import ROOT, table

RULES = stillroom.shelf().rules
BEANS, CORN = ROOT / "shared/demo/beans.yaml", ROOT / "shared/demo/corn.yaml"
ENTRY = {
    "date": "2026-08-15", "food": "snap-beans", "title": "Beans", "jar": "pint", "jars": 18, "canner": "dial",
    "altitude_ft": 0.0, "verdict": "delivered", "reasons": ["vented", "held"],
    "required": {"minutes": 20, "pressure_psi": 11}, "sealed": 17, "failed": 1, "best_by": "2027-08-15",
}  # fmt: skip
WITHOUT_LINKS = ("EPERM", "EACCES", "ENOSYS", "EMLINK", "EINVAL", "ENOTSUP", "EOPNOTSUPP")
"""What systems say of a hard link on a disk that has none: link(2) of Linux and of the BSDs."""


def put(folder: Path, name: str = "beans.yaml", **changes: object) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / name).write_text(yaml.safe_dump({**ENTRY, **changes}, allow_unicode=True), encoding="utf-8")
    return folder / name


def said(path: Path) -> dict[str, object]:
    return dict(yaml.safe_load(path.read_text(encoding="utf-8")))


# many at once


def test_jars_taken_by_many_at_once_are_all_counted(tmp_path: Path) -> None:
    path = put(tmp_path / "s")
    run = [sys.executable, "-m", "stillroom", "take", str(path), "--jars"]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    started = [subprocess.Popen([*run, str(number)], **quiet) for number in (1, 2, 3, 1, 2, 3)]
    assert [process.wait(timeout=120) for process in started] == [0] * 6
    assert said(path)["eaten"] == 12
    assert os.listdir(tmp_path / "s") == ["beans.yaml"]


def test_of_too_many_at_once_none_is_taken_twice(tmp_path: Path) -> None:
    path = put(tmp_path / "s", sealed=5)
    run = [sys.executable, "-m", "stillroom", "take", str(path), "--jars", "2"]
    started = [subprocess.Popen(run, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) for _ in range(4)]
    assert sorted(process.wait(timeout=120) for process in started) == [0, 0, 2, 2]
    assert said(path)["eaten"] == 4


def test_a_disk_without_locks_is_written_to_all_the_same(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    import fcntl

    def none(*_: object) -> None:
        raise OSError(errno.ENOLCK, "No locks available")

    monkeypatch.setattr(fcntl, "flock", none)
    season.take(str(put(tmp_path / "s")), 2, RULES)
    assert said(tmp_path / "s" / "beans.yaml")["eaten"] == 2
    monkeypatch.setitem(sys.modules, "fcntl", None)  # a system that has none
    season.take(str(tmp_path / "s" / "beans.yaml"), 2, RULES)
    assert said(tmp_path / "s" / "beans.yaml")["eaten"] == 4


def test_an_entry_that_cannot_be_written_stays_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = put(tmp_path / "s")
    before = path.read_bytes()

    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(stillroom.BadInput, match=r"beans\.yaml: cannot be written: No space"):
        season.tell_seals(str(path), 3, 1, RULES)
    assert path.read_bytes() == before and os.listdir(path.parent) == ["beans.yaml"]


def test_an_entry_named_by_a_link_is_written_where_it_lies(tmp_path: Path) -> None:
    path = put(tmp_path / "s")
    (tmp_path / "link.yaml").symlink_to(path)
    season.tell_seals(str(tmp_path / "link.yaml"), 12, 2, RULES)
    assert (tmp_path / "link.yaml").is_symlink() and said(path)["sealed"] == 12


# disks without hard links


@pytest.mark.parametrize("name", WITHOUT_LINKS)
def test_a_disk_without_hard_links_takes_a_new_load_and_replaces_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    def none(*_: object, **__: object) -> None:
        raise OSError(getattr(errno, name), os.strerror(getattr(errno, name)))

    monkeypatch.setattr(os, "link", none)
    (tmp_path / "2026-08-15-snap-beans-1.yaml").write_text("mine\n")
    kept = season.keep(stillroom.judge(str(BEANS)), str(tmp_path), RULES)
    assert kept.new and kept.path.endswith("-2.yaml") and said(Path(kept.path))["sealed"] == 17
    assert (tmp_path / "2026-08-15-snap-beans-1.yaml").read_text() == "mine\n"
    assert not season.keep(stillroom.judge(str(BEANS)), str(tmp_path), RULES).new
    assert len(os.listdir(tmp_path)) == 2


def test_without_links_a_name_is_free_again_where_filling_it_fails(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fails(code: int) -> object:
        def refused(*_: object, **__: object) -> None:
            raise OSError(code, os.strerror(code))

        return refused

    with files.unfinished(str(tmp_path), b"ours") as part:
        monkeypatch.setattr(os, "link", fails(errno.EPERM))
        monkeypatch.setattr(os, "replace", fails(errno.EIO))
        with pytest.raises(OSError, match="Input/output"):
            files.placed(part, str(tmp_path / "a"))
    assert os.listdir(tmp_path) == []


def test_another_failure_of_a_link_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The near miss: a full disk is no disk without links."""

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "link", full)
    with pytest.raises(stillroom.BadInput, match="cannot be written: No space"):
        season.keep(stillroom.judge(str(BEANS)), str(tmp_path), RULES)
    assert os.listdir(tmp_path) == []


# slips


def test_jars_written_down_as_taken_by_mistake_are_put_back(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = put(tmp_path / "s")
    for words in (["--jars", "7"], ["--jars", "6", "--back"], ["--lost"], ["--lost", "--back"]):
        assert main(["take", str(path), *words]) == 0
    assert (said(path)["eaten"], said(path)["lost"]) == (1, 0)
    capsys.readouterr()
    assert main(["take", str(path), "--jars", "2", "--back"]) == 2
    assert "1 jar eaten: no more can be put back" in capsys.readouterr().err
    assert said(path)["eaten"] == 1


def test_jars_whose_seals_nobody_knows_are_not_taken(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = put(tmp_path / "s", sealed=None, failed=None)
    assert main(["take", str(path)]) == 2
    told = capsys.readouterr().err
    assert "0 jars on the shelf" in told and "stillroom seals" in told and "eaten" not in said(path)


# the lists


def test_the_list_names_the_file_of_each_load_to_eat_or_to_check(tmp_path: Path) -> None:
    """Best within a year (page 1-12); seals are tested as page 1-25 says, jars looked at as page 1-26 says."""
    folder = tmp_path / "s"
    put(folder, "new.yaml", sealed=10, failed=1)
    put(folder, "old.yaml", date="2024-08-15", best_by="2025-08-15", eaten=3)
    put(folder, "gone.yaml", eaten=16, lost=1)
    put(folder, "short.yaml", verdict="short")
    put(folder, "unknown.yaml", sealed=None, failed=None)
    told = season_sheet.season_sheet(season.read(str(folder), RULES), stillroom.shelf())
    assert max(map(len, told.splitlines())) <= 80
    first, check = (
        re.findall(r"\((\w+)\.yaml\)", part) for part in re.split("Seals to check:", told.split("Eat first")[1])
    )
    assert (first, check) == (["old", "new"], ["new", "unknown"])
    one_line = " ".join(told.split())
    assert "2025-08-15 (past: look at each jar before you open it, page 1-26): 14 pints" in one_line
    assert "Use within a year (page 1-12)" in one_line and "test each seal (page 1-25)" in one_line


def test_every_jar_stands_under_one_head(tmp_path: Path) -> None:
    folder = tmp_path / "s"
    put(folder, "a.yaml", sealed=10, failed=3, eaten=2, lost=1)
    put(folder, "b.yaml", verdict="unproven", eaten=2, lost=1)
    put(folder, "c.yaml", sealed=None, failed=None)
    entries = season.read(str(folder), RULES)
    counted = {head: season.jars(head, entries) for head in season_chart._DRAWN}
    assert counted == {
        "sealed": 7, "seals not checked": 5 + 18, "eaten": 2, "lost": 1, "did not seal": 3, "not safe to keep": 18,
    }  # fmt: skip
    assert sum(counted.values()) == sum(load.jars for load in entries)


def test_the_plot_tells_its_parts_apart_without_color(tmp_path: Path) -> None:
    hatches = [hatch for _, hatch in season_chart._DRAWN.values()]
    assert len(set(hatches)) == len(hatches)
    put(tmp_path / "s", sealed=10, failed=3, eaten=2, lost=1)
    put(tmp_path / "s", "corn.yaml", verdict="short")
    season_chart.plot(season.read(str(tmp_path / "s"), RULES), str(tmp_path / "s.svg"))
    drawn = ET.parse(tmp_path / "s.svg").getroot()
    patterns = list(drawn.iter("{http://www.w3.org/2000/svg}pattern"))  # SVG 1.1, section 13.3
    assert len(patterns) >= 5  # every part but that on the shelf is hatched
    words = "".join(drawn.itertext())
    assert all(head in words for head in ("still there", "not checked", "eaten", "lost", "did not seal", "not safe"))


# words that are code


WORDS = [
    "=1+1",
    "+1",
    "-1",
    "@SUM(A1)",
    " =1+1",
    "=cmd|' /C calc'!A0",
    "<script>alert(1)</script>",
    "</div>&lt;",
    "$x$",
]


class _Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: set[str] = set()
        self.words: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.tags.add(tag)

    def handle_data(self, data: str) -> None:
        self.words.append(data)


@pytest.mark.parametrize("text", WORDS)
def test_a_title_and_a_note_that_are_code_are_words_everywhere(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], text: str
) -> None:
    put(tmp_path / "s", title=text, note=f"{text}\n\t{text}")
    table_, plot, labels = (tmp_path / name for name in ("s.csv", "s.svg", "l.html"))
    assert main(["season", str(tmp_path / "s"), "--csv", str(table_), "--plot", str(plot)]) == 0
    assert main(["labels", str(tmp_path / "s"), "--out", str(labels)]) == 0
    for row in csv.DictReader(table_.read_text(encoding="utf-8").splitlines()):
        assert not any(value.lstrip().startswith(("=", "+", "-", "@")) for value in row.values()), row
    assert text.strip() in "".join(ET.parse(plot).getroot().itertext())
    page = _Tags()
    page.feed(labels.read_text(encoding="utf-8"))
    assert page.tags == {"html", "head", "meta", "title", "style", "body", "div"}
    assert page.words.count(text) == 17
    shown = capsys.readouterr()
    assert not any(unicodedata.category(c) == "Cc" and c != "\n" for c in shown.out + shown.err)


@pytest.mark.parametrize("key", ["title", "note"])
def test_an_escape_of_the_terminal_is_refused_by_every_command_in_one_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], key: str
) -> None:
    path = put(tmp_path / "s", **{key: "\x1b[31mred"})
    before = path.read_bytes()
    for words in (
        ["seals", str(path), "--sealed", "3"],
        ["take", str(path)],
        ["season", str(tmp_path / "s")],
        ["labels", str(tmp_path / "s"), "--out", str(tmp_path / "l.html")],
    ):
        assert main(words) == 2
        told = capsys.readouterr()
        assert told.out == "" and told.err.count("\n") == 1 and "\x1b" not in told.err
    assert path.read_bytes() == before and not (tmp_path / "l.html").exists()


# labels


def test_no_label_for_what_is_not_safe_or_has_no_known_seal(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    folder, out = tmp_path / "s", tmp_path / "l.html"
    for name, changes in {
        "short": {"verdict": "short"}, "unproven": {"verdict": "unproven"}, "none": {"verdict": "no verdict"},
        "unknown": {"sealed": None, "failed": None},
    }.items():  # fmt: skip
        put(folder, f"{name}.yaml", **changes)
        assert main(["labels", str(folder), "--out", str(out), "--load", f"{name}.yaml"]) == 2
        assert capsys.readouterr().err.count("\n") == 1
    assert main(["labels", str(folder), "--out", str(out)]) == 2 and not out.exists()
    put(folder, "some.yaml", sealed=4, failed=0)
    assert main(["labels", str(folder), "--out", str(out)]) == 0
    assert out.read_text(encoding="utf-8").count('class="label"') == 4
    assert [line.split(": ", 1)[1] for line in capsys.readouterr().err.splitlines()[-2:]] == [
        "some.yaml: no label for 14 with seals to check", "unknown.yaml: no label for 18 with seals to check",
    ]  # fmt: skip


MEASURED = """<script>
addEventListener("load", () => {
  const cut = [...document.querySelectorAll(".label, .label div")].filter(
    (part) => part.scrollHeight > part.clientHeight + 1 || part.scrollWidth > part.clientWidth + 1);
  const sheets = [...document.querySelectorAll(".sheet")].map((sheet) => sheet.getBoundingClientRect());
  document.title = JSON.stringify({ cut: cut.length, sheets: sheets.length });
  document.body.textContent = document.title;
});
</script>"""


@pytest.mark.skipif(shutil.which("chromium") is None, reason="no browser to print with")
@pytest.mark.parametrize("paper", label_sheet.PAPERS)
def test_a_browser_cuts_nothing_off_the_label_of_any_food(tmp_path: Path, paper: str) -> None:
    """Every food, with the longest name its batch can have in a season; and the longest title an entry can have."""
    folder, out = tmp_path / "s", tmp_path / "l.html"
    foods = sorted(table("schedules/foods.csv"), key=lambda food: -len(food["id"]) - len(food["title"]))[:40]
    for food in foods:
        put(folder, f"2026-08-15-{food['id']}-12.yaml", food=food["id"], title=food["title"], jar="pint-and-half")
    put(folder, "longest.yaml", title="many words that go on and on " * 6)
    assert main(["labels", str(folder), "--out", str(out), "--paper", paper]) == 0
    page = tmp_path / "measured.html"
    page.write_text(out.read_text(encoding="utf-8").replace("</head>", f"{MEASURED}</head>"), encoding="utf-8")
    run = ["chromium", "--headless", "--no-sandbox", "--disable-gpu", "--dump-dom", page.as_uri()]
    shown = subprocess.run(run, capture_output=True, text=True, timeout=120, check=True).stdout
    each = label_sheet.PAPERS[paper].columns * label_sheet.PAPERS[paper].rows
    assert f'{{"cut":0,"sheets":{-(-41 * 17 // each)}}}' in shown.replace(" ", ""), shown[-300:]
