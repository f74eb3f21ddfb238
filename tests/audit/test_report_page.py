"""The report of an audit in a real browser: nothing keeps anybody out, it prints, and it asks nobody for anything."""

from __future__ import annotations

from pathlib import Path

import pytest

import stillroom
from tests import browser
from tests.conftest import ROOT

pytestmark = browser.needs_browser


@pytest.fixture(scope="module")
def chromium():
    with browser.opened() as opened:
        yield opened


@pytest.fixture(scope="module")
def report(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("report") / "roots.html"
    stillroom.audit(ROOT / "shared/demo/roots.csv", missing=True).report(str(path))
    return path


def test_nothing_in_the_page_keeps_people_out_in_light_dark_and_on_a_phone(chromium, report):
    for width, scheme in ((1100, "light"), (1100, "dark"), (320, "light")):
        page = browser.page(chromium, width, scheme)
        page.goto(report.as_uri())
        assert browser.barriers(page) == [], (width, scheme)
        assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth"), (width, scheme)
        page.context.close()


def test_the_page_asks_for_nothing_and_shows_each_wrong_cell_with_its_sign(chromium, report):
    page = browser.page(chromium)
    asked: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.goto(report.as_uri())
    assert asked == [report.as_uri()]
    found = stillroom.audit(ROOT / "shared/demo/roots.csv")
    wrong = [cell for cell in found.cells if cell.verdict not in ("same", "text")]
    assert page.locator(".wrong").count() == len(wrong) > 5
    for cell in page.locator(".wrong").all():
        assert cell.locator("span[aria-hidden]").count() == 1
    page.context.close()


def test_the_page_prints_on_letter_and_a4_with_nothing_cut_off(chromium, report, tmp_path):
    page = browser.page(chromium)
    page.goto(report.as_uri())
    for paper in ("Letter", "A4"):
        content = page.pdf(format=paper, print_background=False)
        assert content.startswith(b"%PDF") and content.count(b"/Type /Page\n") in (2, 3)
    page.emulate_media(media="print")
    page.set_viewport_size({"width": 700, "height": 900})
    assert page.evaluate(
        "[...document.querySelectorAll('table')].every(t => t.scrollWidth <= t.parentNode.clientWidth)"
    )
    page.context.close()


def test_hostile_words_are_shown_as_words(chromium, tmp_path):
    handout = tmp_path / "h.csv"
    handout.write_text(
        'Food,"Pints (min), boiling water, 0-1,000 ft"\n<script>document.title="x"</script><b>beets</b>,30\n'
    )
    stillroom.audit(handout).report(str(tmp_path / "h.html"))
    page = browser.page(chromium)
    page.goto((tmp_path / "h.html").as_uri())
    assert page.title() == "Audit of h.csv"
    assert page.get_by_text('<script>document.title="x"</script><b>beets</b>').count() > 0
    page.context.close()
