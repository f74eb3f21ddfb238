"""Kitchensheet: a kitchen as text for people, and as the TOML file it is kept in."""

from __future__ import annotations

import datetime
import json
from collections.abc import Iterable, Sequence

from stillroom.answers import wording
from stillroom.answers.answer import Answer
from stillroom.answers.kitchen import Held, Kitchen
from stillroom.answers.shelf import Shelf
from stillroom.sheets import output, page

MARK = "# Kitchen of stillroom."
"""Begins every kitchen file that is written here, by which one of ours is known again."""
_TOP = f'{MARK} What a question leaves out comes from here; "stillroom kitchen --show" tells what is known.\n'


def kitchen_sheet(kitchen: Kitchen, on: datetime.date, shelf: Shelf) -> str:
    """Write what a kitchen file says, line by line, and a caution where the gauge test is old."""
    lines = [f"Your kitchen file: {kitchen.file}", *page.items(_said(kitchen, shelf))]
    if kitchen.tested is not None:
        from stillroom.day import gauge

        found = gauge.overdue(kitchen.tested, on, shelf)
        lines += page.section("Also note:", () if found is None else (str(found),))
    return page.text([*lines, *page.foot(None, shelf.standing)])


def _said(kitchen: Kitchen, shelf: Shelf) -> list[str]:
    said = []
    if kitchen.altitude is not None and kitchen.altitude_ft is not None:
        feet = wording.height(kitchen.altitude_ft)
        same = kitchen.altitude.replace(",", "") == feet.replace(",", "")
        said.append(f"Altitude: {feet}" + ("" if same else f' (written "{kitchen.altitude}")'))
    if kitchen.canners:
        said.append(f"Canner: {wording.listed([shelf.canners[name].title for name in kitchen.canners], 'and')}")
    if kitchen.reads_high_by is not None:
        from stillroom.day import equipment, gauge

        off = gauge.error_psi(kitchen.reads_high_by)
        said.append(f"Dial gauge: {equipment.gauge_said(off)}")
    if kitchen.tested is not None:
        said.append(f"Dial gauge tested: {kitchen.tested}")
    for canner in dict.fromkeys(held.canner for held in kitchen.holds):
        whose = "Canner" if canner is None else wording.capital(shelf.canners[canner].title)
        said.append(f"{whose} holds: {_jars((held for held in kitchen.holds if held.canner == canner), shelf)}")
    if kitchen.weights:
        said.append(f"Weights: {wording.listed(kitchen.weights, 'and')}")
    return said


def _jars(holds: Iterable[Held], shelf: Shelf) -> str:
    return wording.listed([f"{held.jars} {shelf.jars[held.jar].plural}" for held in holds], "or")


def notes(answers: Sequence[Answer], kitchen: Kitchen | None, shelf: Shelf) -> tuple[str, ...]:
    """Say beside the answers of a question what the gauge and the weights of a kitchen change of them."""
    if kitchen is None or not (kitchen.reads_high_by or kitchen.tested or kitchen.weights):
        return ()
    from stillroom.day import equipment

    today = datetime.date.today()
    if len(answers) == 1:
        return equipment.notes(answers[0], kitchen, today, shelf)
    return equipment.notes_on_all(answers, kitchen, today, shelf)


# the file


def toml(kitchen: Kitchen) -> str:
    """Write a kitchen as TOML; read again, it is the same."""
    lines = []
    if kitchen.altitude is not None:
        lines.append(f"altitude = {_text(kitchen.altitude)}")
    if kitchen.canners:
        one = len(kitchen.canners) == 1
        lines.append(f"canner = {_text(kitchen.canners[0]) if one else _list(kitchen.canners)}")
    gauge = []
    if kitchen.reads_high_by is not None:
        gauge.append(f"reads_high_by = {_text(kitchen.reads_high_by)}")
    if kitchen.tested is not None:
        gauge.append(f"tested = {kitchen.tested.isoformat()}")
    if gauge:
        lines.append(f"gauge = {_table(gauge)}")
    if kitchen.holds:
        lines.append(f"holds = {_holds(kitchen)}")
    if kitchen.weights:
        lines.append(f"weights = {_list(kitchen.weights)}")
    return "\n".join([_TOP.rstrip("\n"), *lines, ""])


def _holds(kitchen: Kitchen) -> str:
    canners = list(dict.fromkeys(held.canner for held in kitchen.holds))
    tables = {
        canner: _table([f"{held.jar} = {held.jars}" for held in kitchen.holds if held.canner == canner])
        for canner in canners
    }
    if canners == [None] or (len(canners) == 1 and kitchen.canners == tuple(canners)):
        return tables[canners[0]]
    return _table([f"{name} = {tables[name]}" for name in canners])


def _text(said: str) -> str:
    return json.dumps(said, ensure_ascii=False)  # a JSON text is a TOML text


def _list(said: Iterable[str]) -> str:
    return f"[{', '.join(map(_text, said))}]"


def _table(pairs: Iterable[str]) -> str:
    return f"{{ {', '.join(pairs)} }}"


def ours(beginning: bytes) -> bool:
    """Tell whether a kitchen file was written here."""
    return beginning.startswith(MARK.encode())


def write(path: str, kitchen: Kitchen) -> None:
    """Write a kitchen file, whole or not at all.

    Raises
    ------
    BadInput
        Another's file has that name, or it cannot be written.
    """
    output.write(path, toml(kitchen).encode(), "kitchen file", ours)
