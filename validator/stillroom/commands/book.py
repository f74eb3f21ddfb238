"""``stillroom book``: the book on the screen, a folder of pages that answers without a network."""

from __future__ import annotations

import argparse

from stillroom.commands import DONE

EXAMPLES = (
    ("stillroom book canning-book", DONE),
    ("stillroom book canning-book --serve", DONE),
)


def arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the arguments."""
    parser.add_argument("out", help="folder to write it to; it works from there, from a stick and from any server")
    parser.add_argument("--serve", action="store_true", help="then show it to browsers of this machine; Ctrl-C ends")
    parser.add_argument("--package", metavar="FOLDER", help="folder of the package; the installed data by default")


def run(asked: argparse.Namespace) -> int:
    """Write the book, say where it is, and show it where that is asked for."""
    import os

    from stillroom import screen
    from stillroom.answers.shelf import Shelf
    from stillroom.package.package import Package
    from stillroom.sheets import output
    from stillroom.site import book, folder

    folder.need_folder(asked.out)
    count = folder.write(asked.out, book.contents(Shelf(Package(asked.package))))
    first = screen.printable(os.path.join(asked.out, "index.html"))
    output.say(f"{count} files; open {first} in a browser\n")
    if asked.serve:
        _serve(asked.out)
    return DONE


def _serve(out: str) -> None:
    from stillroom.sheets import output
    from stillroom.site import served

    with served.server(out) as made:
        output.say(f"shown at {served.address(made)} on this machine alone; Ctrl-C ends\n")
        try:
            made.serve_forever()
        except KeyboardInterrupt:
            output.say("\n")
