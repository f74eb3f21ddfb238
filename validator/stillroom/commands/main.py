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
        "usage: stillroom COMMAND ...\n       stillroom FOOD ...  (the same as stillroom find FOOD)\n\n"
        "Tested home-canning schedules, or a refusal that says why.\n\n"
        f"{commands}\n\n"
        'Ask:     stillroom green beans --pack raw --jar quart --altitude "1650 ft" --canner dial\n'
        "Look up: stillroom table green beans\n"
        "For one command: stillroom COMMAND --help. Version: stillroom --version.\n"
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
    if name in SUMMARIES and not _is_food(words):
        return _command(name, words[1:])
    if name.startswith("-"):
        raise BadInput(f'"{printable(name, 40)}" before a command means nothing: see stillroom --help')
    return _food(words)


def _is_food(words: list[str]) -> bool:
    """Tell that ``steam`` begins a name, as in steam canner, which must be refused: the command takes options alone."""
    return words[0] == "steam" and len(words) > 1 and not words[1].startswith("-")


def _food(words: list[str]) -> int:
    """Ask for a food without a command; a slip of a command is no food."""
    near = _near_command(words[0])
    if near:
        from stillroom import UnknownFood, shelf

        try:
            shelf().names.meanings(_said_food(words))
        except UnknownFood:
            said = printable(words[0], 40)
            raise BadInput(f'"{said}" is no command and no food; the command {near} comes near') from None
        except StillroomError:
            pass
    return _command("find", words)


def _said_food(words: list[str]) -> str:
    """Words of the food alone: what belongs to the options of ``find`` is none of its name."""
    from stillroom.commands import find

    parser = argparse.ArgumentParser(add_help=False, allow_abbrev=False, exit_on_error=False)
    find.arguments(parser)
    try:
        asked, _ = parser.parse_known_args(words)
    except (argparse.ArgumentError, SystemExit):
        return " ".join(words)
    return " ".join(asked.food)


def _near_command(word: str) -> str:
    import difflib

    return next(iter(difflib.get_close_matches(word.casefold(), SUMMARIES, n=1, cutoff=0.7)), "")


def _command(name: str, words: list[str]) -> int:
    module = importlib.import_module(f"stillroom.commands.{name}")
    examples = "\n".join(f"  {line}{_ends(status)}" for line, status in module.EXAMPLES)
    parser = _Arguments(
        prog=f"stillroom {name}",
        description=f"{SUMMARIES[name].capitalize()}.",
        epilog=f"examples:\n{examples}",
        formatter_class=argparse.RawDescriptionHelpFormatter,
        allow_abbrev=False,
    )
    module.arguments(parser)
    asked = parser.parse_args(words)
    try:
        status: int = module.run(asked)
    except (NoTestedSchedule, SayWhich) as error:
        status = _unanswered(error, as_document=getattr(asked, "json", False))
    sys.stdout.flush()
    return status


def _ends(status: int) -> str:
    """Say how an example ends where that is not simply done, below it, so that the line stays one to paste."""
    return "" if status == DONE else f"\n    (exit status {status})"


def _unanswered(error: NoTestedSchedule | SayWhich, *, as_document: bool) -> int:
    """Print a refusal, or every answer to what was left open, and give its exit status."""
    if as_document:
        from stillroom.sheets import documents

        sys.stdout.write(documents.text(error.to_dict()))
    else:
        from stillroom import shelf
        from stillroom.sheets import answer_sheet

        if isinstance(error, SayWhich):
            sys.stdout.write(answer_sheet.say_which_sheet(error, shelf()))
        else:
            sys.stdout.write(answer_sheet.refusal_sheet(error, shelf()))
    return NO_TESTED_SCHEDULE if isinstance(error, NoTestedSchedule) else BAD_INPUT


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
