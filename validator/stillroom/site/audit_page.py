"""Audit page: where a table is pasted and held against what is published, once there is a script that does it."""

from __future__ import annotations

from stillroom.site.pages import Page

SCRIPTS: tuple[str, ...] = ()
"""Scripts of the audit, each after those it stands on; they show the form. While there is none, no page links here."""


def audit_page() -> Page:
    """Gather the page."""
    return Page("audit.html", "audit.html.jinja", "Audit", {"scripts": SCRIPTS})
