"""Noted: one sentence of a judgement, with its code and the page it stands on."""

from __future__ import annotations

from typing import Literal, NamedTuple

from stillroom.answers.answer import Stated

Verdict = Literal["delivered", "short", "unproven", "no verdict"]
"""Verdicts on a batch, as schema/verdict.json lists them."""


class Noted(NamedTuple):
    """A reason, caution or next step.

    Attributes
    ----------
    code : str
        Kind of sentence, for programs.
    text : str
        One sentence.
    page : str or None
        Printed page of the guide; None for a sentence of the project's own, and for one of another publication, which
        its text names.
    id : str or None
        The rule or statement it stands on; None where it stands on none.
    """

    code: str
    text: str
    page: str | None
    id: str | None = None

    @classmethod
    def of(cls, said: Stated, code: str = "") -> Noted:
        """Note a sentence of an answer or of the rules; its code is its id unless another is given."""
        if said.source is not None and said.source.short:
            return cls(code or said.id, str(said), None, said.id)
        return cls(code or said.id, said.text, said.page, said.id)

    def __str__(self) -> str:
        return self.text if self.page is None else f"{self.text.removesuffix('.')} (page {self.page})."
