"""Node and the reader of data packages from npm, where they are; both are no part of what the tests install."""

from __future__ import annotations

import shutil
import subprocess
from functools import cache
from pathlib import Path

import pytest

NODE = shutil.which("node")
NO_READER = "node finds no package datapackage: see DEVELOPERS.md"


@cache
def reader() -> Path | None:
    """Find the folder node_modules in which node finds the reader."""
    if NODE is None:
        return None
    asked = [NODE, "-p", "require.resolve('datapackage/package.json')"]
    said = subprocess.run(asked, capture_output=True, text=True, check=False)
    return Path(said.stdout.strip()).parents[1] if said.returncode == 0 else None


needs_node = pytest.mark.skipif(NODE is None, reason="node is not here")
needs_reader = pytest.mark.skipif(reader() is None, reason=NO_READER)
