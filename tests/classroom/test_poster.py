"""The poster fits one page, and its steps are those of every printed row of its foods."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

import stillroom
from stillroom.answers.names import Meaning
from stillroom.sheets import class_file, class_poster
from stillroom.sheets.class_page import ClassPage, Columns, Listed
from tests.conftest import table


def _poster(*foods: str, feet: float | None = None) -> ClassPage:
    ids = foods or tuple(food.id for food in stillroom.foods())
    return class_poster.class_poster(stillroom.shelf(), [Meaning(food, "") for food in ids], feet)


def _steps(page: ClassPage) -> set[tuple[str, tuple[str, ...], tuple[str, ...]]]:
    return {
        (block.heading, block.bands, tuple(cell[0] for cell in cells))
        for block in page.blocks
        if isinstance(block, Columns)
        for _, cells in block.rows
    }


def test_the_steps_of_all_foods_are_the_patterns_of_the_publication() -> None:
    """shared/band-patterns.csv says how times rise and pressures run along each set of bands."""
    patterns: dict[tuple[str, str], list[dict[str, str]]] = {}
    for row in table("shared/band-patterns.csv"):
        patterns.setdefault((row["band_set"], row["pattern"]), []).append(row)
    expected = set()
    for (name, _), rows in patterns.items():
        if name.startswith("boiling-water"):
            expected.add(("B", tuple("the printed time" if not at else f"+{row['rise_min']} min"
                                     for at, row in enumerate(rows))))  # fmt: skip
        else:
            psi = (f"{row['pressure_psi']} psi" if row["pressure_psi"] else "not recommended" for row in rows)
            expected.add((name[0].upper(), tuple(psi)))
    assert {(heading[0], steps) for heading, _, steps in _steps(_poster())} == expected


def test_every_printed_pressure_of_a_food_is_on_its_poster() -> None:
    for food in stillroom.foods():
        shown = _steps(_poster(food.id))
        for cell in stillroom.table(food.id).cells:
            if cell.pressure_psi is not None:
                canner = stillroom.shelf().canners[cell.canner].title.capitalize()
                assert any(heading == canner and f"{cell.pressure_psi} psi" in steps for heading, _, steps in shown)


@pytest.mark.parametrize(
    "foods",
    [
        (),
        ("snap-beans",),
        ("peaches",),
        ("14-day-sweet-pickles", "snap-beans"),
        ("tomatoes-crushed", "peaches", "berries", "snap-beans"),
    ],
)
@pytest.mark.parametrize("feet", [None, 1_650.26, 7_000.0])
def test_it_fits_one_page(foods: tuple[str, ...], feet: float | None) -> None:
    content, _ = class_file.made("pdf", _poster(*foods, feet=feet))
    assert len(PdfReader(io.BytesIO(content)).pages) == 1


def test_it_says_how_to_vent_and_three_nevers_each_with_its_page() -> None:
    boxes = [block.texts for block in _poster("snap-beans").blocks if isinstance(block, Listed)]
    rules = {row["id"]: row for row in table("shared/rules.csv")}
    withheld = {row["id"]: row for row in table("schedules/withheld.csv")}
    vent = rules["vent-time"]
    assert f"{vent['value']} minutes" in boxes[0][0] and f"page {vent['page']}" in boxes[0][0]
    for said, name in zip(boxes[1], class_poster.NEVERS, strict=True):
        entry = withheld[name]
        assert said.startswith(f"{entry['title']}: not recommended.") and f"page {entry['page']}" in said
        assert entry["reason"].removesuffix(".") in said and (entry["code"], entry["kind"]) == ("withheld", "practice")


def test_the_column_of_the_class_is_boxed_in_each_table() -> None:
    tables = [block for block in _poster(feet=1_650.0).blocks if isinstance(block, Columns)]
    assert [(block.heading[0], block.bands[block.own or 0]) for block in tables] == [
        ("B", "1,001-6,000 ft"), ("B", "1,001-3,000 ft"), ("D", "0-2,000 ft"), ("W", "above 1,000 ft"),
    ]  # fmt: skip
    assert all(block.own is None for block in _poster().blocks if isinstance(block, Columns))
