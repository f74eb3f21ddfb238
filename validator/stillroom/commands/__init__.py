"""Commands: one module per subcommand, with ``arguments(parser)`` and ``run(asked)``; imported only when asked for.

A refusal (:class:`stillroom.NoTestedSchedule`) and a question that leaves something open (:class:`stillroom.SayWhich`)
are left to ``main.py``, which prints them the same way for all. ``EXAMPLES`` of a module end its help: lines to paste,
each with the exit status it has.
"""

DONE, FINDINGS, BAD_INPUT, NO_TESTED_SCHEDULE = 0, 1, 2, 3
"""Exit statuses: done; findings, or a run that does not show its schedule; bad input; no tested schedule."""

SUMMARIES = {
    "find": "the tested schedule for one food, jar, canner and altitude",
    "table": "every printed time of a food: jars, packs, canners and altitudes",
    "withheld": "what must not be canned, and why, with what to do instead",
    "foods": "the foods that have a tested schedule",
    "plan": "a canning day: loads, food to buy, water, the clock, and a run sheet to print",
    "recipe": "how a food is prepared, for the jars you want to fill",
    "kitchen": "your altitude, canner, gauge and jars, said once for all questions",
    "judge": "did this batch get its schedule? from its record and the log of its run",
    "seals": "how many jars of a kept load sealed",
    "take": "jars of a kept load taken from the shelf, to be eaten or lost",
    "labels": "labels for the jars on the shelf, a sheet of many to print",
    "season": "the jars put up this season, by food, verdict and seals",
    "steam": "how hot steam is at a gauge pressure and an altitude; for understanding, no schedule",
    "audit": "every cell of somebody else's table held against what is published",
    "check": "what is wrong with a data package, each finding in one line",
    "tidy": "mend the order, spaces and line ends of the tables, never a value",
    "compare": "what changed between two versions of the data, and which side is safer",
    "uses": "what stands on a rule, a statement, a source, a page or a food, and who read it",
    "book": "the book on the screen: a folder of pages that answers without a network",
    "export": "every table with its types and keys, for databases, spreadsheets and programs",
    "withdraw": "take a food out of a package, and tell whoever asks for it why",
}
