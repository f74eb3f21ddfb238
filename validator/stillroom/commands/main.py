"""Command: the shell command ``stillroom``. Picks the subcommand, reads its arguments, runs it; decides nothing."""

from __future__ import annotations

import argparse
import importlib
import os
import sys
from typing import NoReturn

from stillroom.answers.answer import NoTestedSchedule, SayWhich
from stillroom.commands import BAD_INPUT, DONE, NO_TESTED_SCHEDULE, SUMMARIES
from stillroom.errors import BadInput, StillroomError
from stillroom.screen import printable


class _Arguments(argparse.ArgumentParser):
    """Errors in one line, with what to do."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong and stop."""
        self.exit(BAD_INPUT, f"{self.prog}: {printable(message)}; see {self.prog} --help\n")


def _overview() -> str:
    wide = max(map(len, SUMMARIES))
    commands = "\n".join(f"  {name:<{wide}}  {summary}" for name, summary in SUMMARIES.items())
    return (
        "usage: stillroom COMMAND ...\n\nTested home-canning schedules, or a refusal that says why.\n\n"
        f"{commands}\n\nFor one command: stillroom COMMAND --help. Version: stillroom --version.\n"
    )


def _run(words: list[str]) -> int:
    if any("\0" in word for word in words):
        raise BadInput("a word holds a NUL character, which no name and no path can have: leave it out")
    name = words[0] if words else "--help"
    if name in ("-h", "--help"):
        sys.stdout.write(_overview())
        return DONE
    if name == "--version":
        from stillroom import __version__

        sys.stdout.write(f"stillroom {__version__}\n")
        return DONE
    if name not in SUMMARIES:
        sys.stderr.write(f'stillroom: command "{printable(name, 40)}" is not one of {", ".join(SUMMARIES)}\n')
        return BAD_INPUT
    module = importlib.import_module(f"stillroom.commands.{name}")
    parser = _Arguments(prog=f"stillroom {name}", description=f"{SUMMARIES[name].capitalize()}.", allow_abbrev=False)
    module.arguments(parser)
    asked = parser.parse_args(words[1:])
    try:
        status: int = module.run(asked)
    except NoTestedSchedule as error:
        status = _refused(error, as_document=getattr(asked, "json", False))
    except SayWhich as error:
        status = _left_open(error, as_document=getattr(asked, "json", False))
    sys.stdout.flush()
    return status


def _refused(error: NoTestedSchedule, *, as_document: bool) -> int:
    if as_document:
        from stillroom.sheets import documents

        sys.stdout.write(documents.text(documents.refusal(error)))
    else:
        from stillroom import shelf
        from stillroom.sheets import answer_sheet

        sys.stdout.write(answer_sheet.refusal_sheet(error, shelf()))
    return NO_TESTED_SCHEDULE


def _left_open(error: SayWhich, *, as_document: bool) -> int:
    if as_document:
        from stillroom.sheets import documents

        sys.stdout.write(documents.text(documents.say_which(error)))
    else:
        from stillroom import shelf
        from stillroom.sheets import answer_sheet

        sys.stdout.write(answer_sheet.say_which_sheet(error, shelf()))
    return BAD_INPUT


def main(words: list[str] | None = None) -> int:
    """Run the command.

    Parameters
    ----------
    words : list of str, optional
        Words after ``stillroom``; those of the process by default.

    Returns
    -------
    int
        Exit status: 0 done; 1 findings, or a run that does not show its schedule; 2 bad input; 3 no tested schedule.
    """
    for stream in (sys.stdout, sys.stderr):
        if hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="replace")
    try:
        return _run(sys.argv[1:] if words is None else words)
    except StillroomError as error:
        sys.stderr.write(f"stillroom: {error}\n")
        return BAD_INPUT
    except BrokenPipeError:
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return DONE
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main())
