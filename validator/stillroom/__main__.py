"""Run the shell command as ``python -m stillroom``."""

import sys

from stillroom.commands.main import main

sys.exit(main())
