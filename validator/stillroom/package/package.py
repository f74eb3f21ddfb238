"""Package: the files of schedules/ and shared/ as records. Only the tables a question needs are read, each once."""

from __future__ import annotations

import os
from functools import cached_property
from typing import TYPE_CHECKING

from stillroom.package.csv_table import read_table
from stillroom.package.records import Schedule
from stillroom.package.tables import TABLES, Tables

if TYPE_CHECKING:
    from stillroom.package.leaflets import Leaflets


def home() -> str:
    """Folder of the data: beside the library where it is installed, else the checkout the library stands in."""
    library = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    installed = os.path.join(library, "data")
    return installed if os.path.isdir(installed) else os.path.dirname(os.path.dirname(library))


class Package(Tables):
    """The tables of one data package, each read when first asked for.

    Parameters
    ----------
    root : str, optional
        Folder that holds schedules/ and shared/; the installed data by default.
    """

    def __init__(self, root: str | None = None) -> None:
        self.root = home() if root is None else root
        self._schedules: dict[str, tuple[Schedule, ...]] = {}

    def schedules(self, group: str) -> tuple[Schedule, ...]:
        """Rows of one schedule table, like ``vegetables``."""
        if group not in self._schedules:
            shown = TABLES[group].file
            self._schedules[group] = read_table(os.path.join(self.root, *shown.split("/")), Schedule, shown)
        return self._schedules[group]

    @cached_property
    def leaflets(self) -> Leaflets:
        """Superseded processes, which nothing is answered from."""
        from stillroom.package.leaflets import Leaflets

        return Leaflets(self.root)
