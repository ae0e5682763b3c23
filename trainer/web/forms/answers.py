"""Answering a question: one form for each kind, all of which make one text of what was filled in.

A kind of question has its row in `ANSWERING` and its template in templates/asked/<kind>.html.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, ClassVar, Final

from wtforms import HiddenField, RadioField, SelectField, StringField

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

    @classmethod
    def asking(cls, draw: Draw) -> type[AnswerForm]:
        """The form's class for one draw, with a field for each of its parts when it has several."""
        return cls

    def fit(self, draw: Draw) -> None:
        """Fill in what the fields take from the draw."""

    @property
    def is_confirmed(self) -> bool:
        """Whether what is sent is what was shown as read; browsers write line ends in their own way."""
        return str(self.confirmed.data or "").split() == self.typed.split()

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


class OptionForm(AnswerForm):
    """What the forms of lettered options share."""

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


class ChoiceForm(OptionForm):
    """One option of several."""

    answer = RadioField(_l("Choose one"), validators=[needed()])


class SeveralForm(OptionForm):
    """A box for each option."""

    answer = CheckField(_l("Mark every one that fits"), validators=[needed()])

    @property
    def typed(self) -> str:
        return ", ".join(self.answer.data)


class LinkedForm(AnswerForm):
    """One field for each part, called by its place."""

    confirms = True

    @classmethod
    def asking(cls, draw: Draw) -> type[AnswerForm]:
        fields = {
            f"part_{place}": StringField(part.text.in_language(language()), [needed(), at_most(60)])
            for place, part in enumerate(draw.body.parts)
        }
        return type("LinkedForm", (cls,), fields)

    def fit(self, draw: Draw) -> None:
        self.parts = [(part, self[f"part_{place}"]) for place, part in enumerate(draw.body.parts)]

    @property
    def typed(self) -> str:
        return "\n".join(" ".join(str(field.data).split()) for part, field in self.parts)

    def refuse(self, said: Grade) -> None:
        refused = {one.id: one.said for one in said.parts}
        for part, field in self.parts:
            if part.id in refused:
                field.errors = [refused[part.id]]


class OrderForm(AnswerForm):
    """A place for each step, called by its letter; the order is what the places make of the letters."""

    confirms = True

    @classmethod
    def asking(cls, draw: Draw) -> type[AnswerForm]:
        places = [str(place) for place in range(1, len(draw.body.steps) + 1)]
        fields = {
            f"place_{step.letter}": SelectField(
                step.text.in_language(language()),
                [needed()],
                choices=options([("", "–"), *((place, place) for place in places)]),
            )
            for step in draw.body.steps
        }
        return type("OrderForm", (cls,), fields)

    def fit(self, draw: Draw) -> None:
        self.steps = [(step, self[f"place_{step.letter}"]) for step in draw.body.steps]

    def validate(self, extra_validators: Any = None) -> bool:
        """Each place is given once, so that what the form sends can always be read."""
        good = bool(super().validate(extra_validators))
        given = [field.data for step, field in self.steps]
        for field in (field for step, field in self.steps):
            if field.data and given.count(field.data) > 1:
                field.errors = [_("Place %(place)s is given twice.", place=field.data)]
                good = False
        return good

    @property
    def typed(self) -> str:
        placed = sorted((int(field.data), step.letter) for step, field in self.steps)
        return ", ".join(letter for place, letter in placed)


ANSWERING: Final[dict[str, type[AnswerForm]]] = {
    "number": NumberForm,
    "choose": ChoiceForm,
    "faults": FaultsForm,
    "linked": LinkedForm,
    "several": SeveralForm,
    "order": OrderForm,
}


def answer_form(draw: Draw, **given: Any) -> AnswerForm:
    """The form that fits the kind of question."""
    form = ANSWERING[draw.kind].asking(draw)(**given)
    form.fit(draw)
    return form
