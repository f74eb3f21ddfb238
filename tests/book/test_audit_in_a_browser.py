"""The audit of a pasted table on its page, in a real browser, opened from the folder of the book."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

import stillroom
from stillroom.foreign import forms
from stillroom.sheets import audit_sheet
from tests import browser
from tests.audit.corpus import FOLDER

pytestmark = browser.needs_browser
TABLE = (FOLDER / "dunleigh-tidy.csv").read_text(encoding="utf-8")
HOSTILE = (
    "Food\tPack\tJar\tCanner\tAltitude\tMinutes\n"
    "<img src=x onerror=alert(1)>\thot\tpint\tboiling water\t0-1,000 ft\t20\n"
)


@pytest.fixture(params=("light", "dark"))
def opened(request: pytest.FixtureRequest, chromium: Any, site: Path) -> Any:
    page = browser.page(chromium, 390, request.param)
    page.goto((site / "audit.html").as_uri())
    yield page
    page.context.close()


def _paste(page: Any, text: str, **said: str) -> str:
    page.fill("#pasted", text)
    page.fill("#at", said.get("at", ""))
    page.select_option("#canner", said.get("canner", ""))
    page.click("#audit")
    return str(page.inner_text("#audited"))


def _slipped() -> str:
    """The first time of the table is five minutes less."""
    return re.sub(r"(?m)^(Carrots,.*,)(\d+),(\d+)$", lambda hit: f"{hit[1]}{int(hit[2]) - 5},{hit[3]}", TABLE, count=1)


def test_a_pasted_table_is_audited_and_nothing_keeps_people_out(opened: Any) -> None:
    """Verdict first, then counts; the wrong cell with its sign and what is published beneath; then the list."""
    shown = _paste(opened, _slipped())
    audit = stillroom.audit(forms.read_text(_slipped(), "pasted table"))
    assert [one.verdict for one in audit.findings] == ["weaker"]
    assert shown.startswith(audit_sheet.verdict(audit)) and audit_sheet.counted(audit) in shown
    assert next(audit_sheet.sentences(audit.findings[0])) in shown
    marked = opened.locator("td.found")
    assert marked.count() == 1 and "25 min" in marked.locator("small").inner_text()
    assert opened.inner_text("#status") == audit_sheet.verdict(audit)
    assert browser.barriers(opened) == []
    assert opened.evaluate("document.documentElement.scrollWidth <= innerWidth")


def test_a_table_as_published_has_no_cell_that_is_marked(opened: Any) -> None:
    """Near miss: the same table without the slip; at one height alone it says so."""
    assert _paste(opened, TABLE).startswith("AS PUBLISHED")
    assert opened.locator("td.found").count() == 0
    assert "At 1,650 ft alone." in _paste(opened, TABLE, at="1650 ft")


def test_what_is_pasted_is_never_run_and_what_is_no_table_is_said(opened: Any) -> None:
    assert "<img src=x onerror=alert(1)>" in _paste(opened, HOSTILE)
    assert opened.locator("#audited img").count() == 0
    assert _paste(opened, "Peaches are good.").startswith("Not read")
    assert "--canner" not in _paste(opened, "Food,Jar,Time\nPeaches,pint,20 min\n")
