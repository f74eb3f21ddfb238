"""REFERENCE.md is what the generator makes of the docstrings now, and its links lead somewhere."""

from __future__ import annotations

import re

import pytest

import stillroom
from tests.surface import reference

PAGE = reference.PAGE.read_text(encoding="utf-8")


def test_the_page_is_what_the_generator_gives_now() -> None:
    pytest.importorskip("griffe2md", reason="griffe2md is not installed: it is in the extra test")
    assert reference.page() == PAGE, f"REFERENCE.md is not what the docstrings say: {reference.RENEW}"


def test_every_public_name_has_its_heading_and_nothing_else_has() -> None:
    assert sorted(re.findall(r"^## `(\w+)`$", PAGE, re.MULTILINE)) == sorted(stillroom.__all__)


def test_every_link_within_the_page_leads_to_a_heading() -> None:
    slugs: list[str] = []
    for heading in re.findall(r"^#+ (.*)$", PAGE, re.MULTILINE):
        slug = re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-")
        before = sum(re.fullmatch(rf"{slug}(-\d+)?", one) is not None for one in slugs)
        slugs.append(f"{slug}-{before}" if before else slug)
    links = set(re.findall(r"\]\(#([^)]*)\)", PAGE))
    assert len(links) > 60
    assert links <= set(slugs)


def test_no_mark_of_another_language_is_left() -> None:
    assert re.findall(r":\w+:`|``[^`\n]+``|\(#stillroom\.", PAGE) == []
