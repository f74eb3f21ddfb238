"""Commands: one module per subcommand, with ``arguments(parser)`` and ``run(asked)``; imported only when asked for."""

DONE, FINDINGS, BAD_INPUT, NO_TESTED_SCHEDULE = 0, 1, 2, 3
"""Exit statuses: done; findings, or a run that does not show its schedule; bad input; no tested schedule."""

SUMMARIES = {
    "find": "the tested schedule for one food, jar, canner and altitude",
    "foods": "the foods that have a tested schedule",
    "check": "what is wrong with a data package, each finding in one line",
    "tidy": "mend the order, spaces and line ends of the tables, never a value",
    "compare": "what changed between two versions of the data, and which side is safer",
}
