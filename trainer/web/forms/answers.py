"""Answering a question: one form for each kind, all of which make one text of what was filled in.

A kind of question has its row in `ANSWERING` and its template in templates/asked/<kind>.html.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, ClassVar, Final

from wtforms import HiddenField, RadioField, StringField

from trainer.questions import Draw, Grade
from trainer.web.current import language
from trainer.web.forms import CheckField, Form, at_most, form_token_field, needed, options
from trainer.web.i18n import _, _l


class AnswerForm(Form):
    """What the forms of all kinds share.

    confirms: the answer is shown as it was read before it counts; `confirmed` then holds the text that was shown
    scene: the first sentence tells the problem from others, not the question at the end
    """

    confirms: ClassVar[bool] = False
    scene: ClassVar[bool] = True

    form_token = form_token_field()
    confirmed = HiddenField()

    def fit(self, draw: Draw) -> None:
        """Fill in what the fields take from the draw."""

    @property
    def typed(self) -> str:
        """The answer as the one text that is graded and stored."""
        return str(self.answer.data)

    def refuse(self, said: Grade) -> None:
        """Put what could not be read at its field."""
        self.answer.errors = [said.refusal]


class NumberForm(AnswerForm):
    """A number typed as the trade writes it."""

    confirms = True
    scene = False
    answer = StringField(_l("Your answer"), validators=[needed(), at_most(60)])


class ChoiceForm(AnswerForm):
    """One option of several."""

    answer = RadioField(_l("Choose one"), validators=[needed()])

    def fit(self, draw: Draw) -> None:
        self.answer.choices = options(
            (option.letter, option.text.in_language(language())) for option in draw.body.options
        )


class FaultsForm(AnswerForm):
    """The numbers of the faulty places, or none of them.

    seen: what the drawing shows at each place, by its number as text, for whoever cannot see it
    """

    answer = CheckField(_l("Which places are at fault?"), validators=[needed()])
    seen: Mapping[str, str] = MappingProxyType({})

    def fit(self, draw: Draw) -> None:
        marks = draw.body.marks
        self.answer.choices = options(
            [
                *(
                    (str(mark.number), f"{mark.number}: {mark.name.in_language(language())}")
                    for mark in marks
                ),
                ("none", _("none: all these places are sound")),
            ]
        )
        self.seen = {str(mark.number): mark.seen.in_language(language()) for mark in marks}

    @property
    def typed(self) -> str:
        return ", ".join(self.answer.data)


ANSWERING: Final[dict[str, type[AnswerForm]]] = {
    "number": NumberForm,
    "choose": ChoiceForm,
    "faults": FaultsForm,
}


def answer_form(draw: Draw, **given: Any) -> AnswerForm:
    """The form that fits the kind of question."""
    form = ANSWERING[draw.kind](**given)
    form.fit(draw)
    return form
