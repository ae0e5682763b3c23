"""Forms of the clearance board: the day, and a suspension's beginning and end with their reasons."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Final

from flask import request
from wtforms import DateField, RadioField, SelectField, StringField, TextAreaField
from wtforms.fields.core import Field
from wtforms.validators import Optional

from trainer.records.queries import Board, PersonRow, crews_of, matching
from trainer.records.queries.board_parts import part_of
from trainer.web.forms import AddressForm, Form, at_most, needed, options
from trainer.web.i18n import _, _l, local
from trainer.web.words import ROLES

# The occasions on which 29 CFR 1926.503(c) asks that a person be trained again, in our words. They are examples
# there, so a suspension may rest on something else.
PROMPTS: Final = {
    "workplace": _l("The work or the place has changed, and what was taught no longer fits"),
    "equipment": _l("The fall protection or the equipment is not what was taught"),
    "gap": _l("Seen on the job: the person does not know it, or does not use it, as taught"),
}
OTHER: Final = "other"


class DayField(DateField):  # type: ignore[misc]
    """A date; one that cannot be read says how it is written."""

    def process_formdata(self, valuelist: list[str]) -> None:
        try:
            super().process_formdata(valuelist)
        except ValueError:
            typed = valuelist[0][:40]
            raise ValueError(
                _("%(typed)s is no date; write year, month and day, such as 2026-11-25.", typed=typed)
            ) from None


class DayForm(AddressForm):
    """The day the board is asked for."""

    on = DayField(_l("Day"), validators=[needed()])

    def day(self, otherwise: date) -> date:
        """The day asked for; `otherwise` when none is, or it cannot be read."""
        asked = "on" in request.args and self.on.validate(self)
        return self.on.data if asked and self.on.data else otherwise


EVERYTHING: Final = ""
CLEARED, NOT_CLEARED = "cleared", "not"
ENDING: Final = ("30", "60", "90")


class BoardForm(DayForm):
    """The day, and what of the board is shown."""

    on = DayField(_l("Day"), validators=[Optional()])  # an address may leave it out: today
    name = StringField(_l("Name holds"), validators=[at_most(120)])
    role = SelectField(
        _l("Role"), choices=options([(EVERYTHING, _l("all")), *ROLES.items()]), default=EVERYTHING
    )
    crew = SelectField(_l("Crew"), choices=options([(EVERYTHING, _l("all"))]), default=EVERYTHING)
    clearance = SelectField(_l("Clearance"), default=EVERYTHING)
    show = SelectField(
        _l("Show"),
        default=EVERYTHING,
        choices=options(
            [
                (EVERYTHING, _l("everything")),
                (CLEARED, _l("who is cleared")),
                (NOT_CLEARED, _l("who is not cleared")),
                *((days, _l("what ends within %(days)s days", days=days)) for days in ENDING),
            ]
        ),
    )

    def those(self, people: Sequence[PersonRow]) -> tuple[PersonRow, ...]:
        """The people asked for by name, role and crew. people: everyone of the day"""
        crews = crews_of(people)
        self.crew.choices = options([(EVERYTHING, _("all")), *((str(one.id), one.name) for one in crews)])
        crew = self._read(self.crew)
        return matching(
            people,
            name=self._read(self.name),
            role=self._read(self.role),
            crew=next((ids for one, ids in crews.items() if str(one.id) == crew), None),
        )

    @property
    def by_standing(self) -> bool:
        """Whether it depends on people's standings who is shown."""
        return self._read(self.show) != EVERYTHING

    def part(self, board: Board, people: Sequence[PersonRow]) -> Board:
        """What is asked for of the board, and of these people only."""
        names = [(one.id, local(one.name)) for one in board.clearances]
        self.clearance.choices = options([(EVERYTHING, _("all")), *names])
        self.validate()
        return part_of(
            board,
            people,
            clearance=self._read(self.clearance),
            cleared={CLEARED: True, NOT_CLEARED: False}.get(self._read(self.show)),
        )

    def _read(self, field: Field) -> str:
        """What a field asks for; nothing when it cannot be read, which the page says."""
        return str(field.data or EVERYTHING) if field.validate(self) else EVERYTHING

    @property
    def asked(self) -> dict[str, str]:
        """What the address of the same part of the board, on paper, has to say."""
        return {
            name: value
            for name, value in request.args.items()
            if name in self and value and not self[name].errors and not (name == "show" and value in ENDING)
        }

    @property
    def ending(self) -> int | None:
        """Within how many days what is shown ends; None when that is not asked."""
        return int(self.show.data) if self.show.data in ENDING else None


class SuspendForm(Form):
    """Why a person's clearance is taken back."""

    prompt = RadioField(
        _l("What prompts it"),
        choices=options([*PROMPTS.items(), (OTHER, _l("Something else"))]),
        default=OTHER,
        validators=[needed()],
    )
    reason = TextAreaField(_l("What happened"), validators=[needed(), at_most(1500)])

    @property
    def said(self) -> str:
        """The reason as it is recorded: what prompted it, and what happened."""
        prompt = PROMPTS.get(self.prompt.data)
        return f"{prompt}. {self.reason.data}" if prompt else str(self.reason.data)


class LiftForm(Form):
    """Why a suspension ends."""

    reason = TextAreaField(_l("Why it is lifted"), validators=[needed(), at_most(1500)])
