"""Edits of a package held against the package as it was, with CHANGELOG.md as the test will have it."""

from __future__ import annotations

from stillroom.desk import changelog
from stillroom.desk.comparison import Comparison, compare_versions
from stillroom.desk.gate import announced, weighed
from stillroom.findings.finding import Finding
from stillroom.package.versions import Held, Version

LOG = "CHANGELOG.md"
FIRST_LOG = "# Changelog\n\n## 0.1.0\n\n- first\n"
Edit = tuple[str, str, str]
"""File, the text that stands there, and the text that takes its place, once."""


class Gated:
    """Holds edits of a package against the package as it was, whatever CHANGELOG.md says of them."""

    def __init__(self, before: dict[str, bytes], log: str = FIRST_LOG) -> None:
        self.before = {**before, LOG: log.encode()}
        self.log = log
        self._compared: dict[tuple[Edit, ...], Comparison] = {}

    def edited(self, edits: tuple[Edit, ...], log: str = "") -> Version:
        after = dict(self.before)
        for path, old, new in edits:
            text = after.get(path, b"").decode()
            assert old in text, f"{old!r} is not in {path}"
            after[path] = text.replace(old, new, 1).encode()
        return Version("after", Held({**after, LOG: (log or self.log).encode()}))

    def compared(self, *edits: Edit) -> Comparison:
        if edits not in self._compared:
            self._compared[edits] = compare_versions(Version("before", Held(self.before)), self.edited(edits))
        return self._compared[edits]

    def section(self, *edits: Edit) -> str:
        """Give the section that ``compare`` prints."""
        return changelog.section(self.compared(*edits))

    def __call__(self, *edits: Edit, log: str = "") -> list[Finding]:
        new = self.edited(edits, log)
        return list(weighed(self.compared(*edits), Version("before", Held(self.before)), new).findings)

    def logged(self, *edits: Edit, without: str = "", instead: str = "") -> list[Finding]:
        """Paste the section that ``compare`` prints, but for the lines with a text, for which others stand."""
        lines = self.section(*edits).splitlines()
        kept = [line for line in lines if not without or without not in line]
        assert len(kept) < len(lines) or not without
        return self(*edits, log="# Changelog\n\n" + "\n".join([*kept, instead]) + "\n\n" + self.log)

    def announced(self, *edits: Edit) -> list[str]:
        """Give the first lines of the gate."""
        return list(announced(self.compared(*edits)))
