"""A real browser for pages: Chromium without a window, and an engine that looks for what keeps people out of a page.

Both come from the package registries: ``playwright`` and ``axe-playwright-python`` with the tests' own extra, Chromium
from Debian (DEVELOPERS.md). Where there is no Chromium, tests of pages are skipped, and say so.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from importlib.util import find_spec
from typing import Any

import pytest

CHROMIUM = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
SWITCHES = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)  # fmt: skip
DRIVEN = all(find_spec(name) is not None for name in ("playwright", "axe_playwright_python"))
needs_browser = pytest.mark.skipif(
    CHROMIUM is None or not DRIVEN, reason="no Chromium is here, or nothing that drives it: see DEVELOPERS.md"
)


@contextmanager
def opened() -> Iterator[Any]:
    """Start Chromium; gives the browser."""
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=list(SWITCHES))
        try:
            yield browser
        finally:
            browser.close()


def page(browser: Any, width: int = 1100, scheme: str = "light") -> Any:
    """Open a blank page; scripts of the test are let in whatever the page's own policy says.

    Parameters
    ----------
    browser : Browser
    width : int
        Of the window, CSS pixels.
    scheme : str
        ``light`` or ``dark``.
    """
    context = browser.new_context(
        viewport={"width": width, "height": 900}, color_scheme=scheme, bypass_csp=True, reduced_motion="reduce"
    )
    return context.new_page()


def barriers(page: Any) -> list[str]:
    """What keeps people out of a page, by the rules of axe (WCAG 2.2 A and AA, and its best practices)."""
    from axe_playwright_python.sync_playwright import Axe

    found = Axe().run(page).response["violations"]
    return [f"{one['id']}: {one['nodes'][0]['html'][:160]}" for one in found]
