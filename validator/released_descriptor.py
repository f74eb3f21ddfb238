"""Build hook: a wheel carries datapackage.json with the size and the hash of every file that it names."""

from __future__ import annotations

import os
import sys
import tempfile
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

WHERE = "stillroom/data/datapackage.json"


class ReleasedDescriptor(BuildHookInterface):  # type: ignore[type-arg]
    """Writes the descriptor of the release aside, and puts it into the wheel in place of the working one."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Add the file to what the wheel holds; an editable install reads the checkout itself."""
        if version == "editable":
            return
        sys.path.insert(0, os.path.join(self.root, "validator"))
        try:
            from stillroom.package.released import released
        finally:
            del sys.path[0]
        handle, self.written = tempfile.mkstemp(suffix=".json")
        with os.fdopen(handle, "wb") as file:
            file.write(released(self.root))
        build_data["force_include"][self.written] = WHERE

    def finalize(self, version: str, build_data: dict[str, Any], artifact_path: str) -> None:
        """Take the file that was written aside away again."""
        if version != "editable":
            os.unlink(self.written)
