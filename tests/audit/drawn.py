"""What is drawn by chance when tests are collected: anew in each run, and the same in every process of it."""

from __future__ import annotations

import os
import random

CHANCE = random.Random(os.environ.get("PYTEST_XDIST_TESTRUNUID"))
"""pytest-xdist gives each run an id, and its processes must collect the same tests; without it, by the clock."""
