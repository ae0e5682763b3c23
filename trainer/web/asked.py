"""A question as a page shows it, before and after it is answered."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from typing import Any, NamedTuple

from flask import url_for
from markupsafe import Markup

from trainer.calc import working
from trainer.calc.typed import query
from trainer.drawings import Drawing
from trainer.questions import Draw, Grade, figure, grade, worked
from trainer.questions.hints import hints
from trainer.questions.search import Guess, guesses
from trainer.records.queries import AnswerView
from trainer.web.current import language, shop
from trainer.web.forms.answers import ANSWERING


class Working(NamedTuple):
    """A worked solution; address: the page of its calculation with the same numbers filled in."""

    title: str
    lines: Markup
    address: str


@dataclass(frozen=True, slots=True)
class Asked:
    """One drawn question in the reader's language."""

    draw: Draw

    @property
    def text(self) -> str:
        return self.draw.text.in_language(language())

    @property
    def in_short(self) -> str:
        """One sentence that tells the problem from others: what is asked, or the scene."""
        sentences = re.split(r"(?<=[.!?])\s+", self.text.strip())
        if ANSWERING[self.draw.kind].scene:
            return sentences[0]
        return next((one for one in reversed(sentences) if one.endswith("?")), sentences[-1])

    @property
    def hints(self) -> list[str]:
        return [hint.in_language(language()) for hint in hints(self.draw)]

    @property
    def confirms(self) -> bool:
        """Whether the answer is shown as it was read before it counts."""
        return ANSWERING[self.draw.kind].confirms

    def figure(self, reveal: bool = False) -> Drawing | None:
        """The drawing; with the answer's own values on it only when `reveal`."""
        return figure(self.draw, language(), reveal)

    @property
    def right_answer(self) -> str:
        return self.draw.answer(language())

    @property
    def answer_on_paper(self) -> str:
        """The right answer in one line; a chosen option with the letter that is written on the sheet."""
        line = "; ".join(self.right_answer.splitlines())
        if self.draw.kind != "choose":
            return line
        letter = next(option.letter for option in self.draw.body.options if option.right)
        return f"{letter}. {line}"

    def workings(self) -> list[Working]:
        """The worked solutions with this draw's numbers, one for each number of the answer; empty without any."""
        return [
            Working(
                number.title.in_language(language()) if number.title is not None else "",
                Markup(
                    working.as_html(evaluation, language())
                ),  # written by trainer.calc, texts escaped there
                f"{url_for('calculations.page', name=evaluation.calculation.name)}"
                f"?{query(evaluation, shop().standard, language())}",
            )
            for number, evaluation in zip(self.draw.body.solved(), worked(self.draw), strict=True)
        ]

    def guesses(self, typed: str) -> list[Guess]:
        """What the wrong numbers of an answer may come from, for a reviewer's eyes alone."""
        return guesses(self.draw, typed, language())

    def grade(self, typed: str) -> Grade:
        return grade(self.draw, typed, language())

    def judged(self, answer: AnswerView) -> Grade:
        """What is said of a stored answer: right or not, and read, as it was stored; only the words are made now."""
        said = self.grade(answer.typed)
        if said.right != answer.right:  # the engine has changed since, so its words would not fit
            said = Grade("wrong")
        return replace(
            said,
            status="right" if answer.right else "wrong",
            credit=answer.credit or 0.0,
            reading=said.reading or answer.shown,
        )


def asked(stored: Any) -> Asked:
    """A draw, or the data of one that a paper froze."""
    return Asked(stored if isinstance(stored, Draw) else Draw.from_json(stored))
