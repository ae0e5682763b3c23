"""What a stored slip is called: its own sentence, read from an example of its question."""

from __future__ import annotations

from trainer.questions import Question
from trainer.web.forms.assign import example
from trainer.web.i18n import local


def slip_text(question: Question | None, slip: str) -> str:
    """The slip's sentence in the reader's language; its id when the question no longer has it."""
    drawn = example(question) if question is not None else None
    if drawn is None:
        return slip
    body = drawn.body
    within, _, last = slip.rpartition(":")
    for part in getattr(body, "parts", ()):
        if part.id == within:
            return f"{local(part.text)} – {_named(part.slips, last)}"
    for option in getattr(body, "options", ()):
        if option.id == slip:
            return local(option.text)
    return _named(getattr(body, "slips", ()), slip)


def _named(slips: object, slip: str) -> str:
    return next((local(one.text) for one in slips if one.id == slip), slip)  # type: ignore[attr-defined]
