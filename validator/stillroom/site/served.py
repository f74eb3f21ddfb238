"""Served: the folder of a book shown to browsers of this machine, and to nobody else."""

from __future__ import annotations

import http.server
from functools import partial
from typing import Any

HOST = "127.0.0.1"
"""This machine alone."""


class _Quiet(http.server.SimpleHTTPRequestHandler):
    """Says nothing of each request, and lets no browser keep a page that the next book replaces."""

    def log_message(self, format: str, *words: Any) -> None:
        pass

    def end_headers(self) -> None:
        self.send_header("Cache-Control", "no-cache")
        super().end_headers()


def server(folder: str, port: int = 0) -> http.server.ThreadingHTTPServer:
    """Make a server of a folder at a free port of this machine; ``serve_forever`` runs it.

    Parameters
    ----------
    folder : str
    port : int, optional
        0: any that is free.
    """
    return http.server.ThreadingHTTPServer((HOST, port), partial(_Quiet, directory=folder))


def address(made: http.server.ThreadingHTTPServer) -> str:
    """Give the address that a browser opens."""
    return f"http://{HOST}:{made.server_address[1]}/"
