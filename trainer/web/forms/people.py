"""Forms for the owner's list of people."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from werkzeug.datastructures import FileStorage
from wtforms import FileField, HiddenField, RadioField, SelectField, StringField, TextAreaField

from trainer.records import people_file
from trainer.records.queries import PersonRow
from trainer.web.forms import AddressForm, CheckField, Form, at_most, needed, options
from trainer.web.i18n import NAMES, _l

ROLES: Final = {
    "apprentice": _l("New hire: lessons, practice, quizzes"),
    "trainer": _l("Trainer: assigns, reviews, signs off"),
    "owner": _l("Owner: people, shop standard, clearances"),
}


class FindPersonForm(AddressForm):
    """Who is looked for."""

    name = StringField(_l("Name holds"), validators=[at_most(120)])


class PersonForm(Form):
    """What the owner can change of a person."""

    name = StringField(_l("Name"), validators=[needed(), at_most(80)])
    roles = CheckField(_l("Roles"), choices=options(ROLES.items()), validators=[needed()])


class EditPersonForm(PersonForm):
    """The same, with where the daily digest goes."""

    email = StringField(_l("E-mail address"), validators=[at_most(254)])


class HandOverForm(Form):
    """Which role goes to whom, and what is left for whoever gives it."""

    role = RadioField(_l("Which role"), validators=[needed()])
    taker = SelectField(_l("To whom"), coerce=int, validators=[needed()])
    stays = RadioField(
        _l("If no other role is left, stay as"),
        choices=options((("trainer", _l("Trainer")), ("apprentice", _l("New hire")))),
        default="trainer",
        validators=[needed()],
    )

    def __init__(self, row: PersonRow, others: Iterable[PersonRow]) -> None:
        super().__init__()
        self.role.choices = options((role, label) for role, label in ROLES.items() if role in row.roles)
        self.taker.choices = options((one.id, one.name) for one in others)


class PeopleFileForm(Form):
    """A file of people, or its lines pasted in; checked: a mark of the lines that were checked."""

    file = FileField(_l("The file"))
    lines = TextAreaField(_l("The lines"))
    checked = HiddenField(validators=[at_most(80)])
    act = StringField()

    def text(self) -> str:
        """The lines: of a file that was sent, else as typed. Refusal when the file cannot be taken.

        Line ends are made plain, as a browser changes them when it sends the same lines again.
        """
        sent = self.file.data
        if isinstance(sent, FileStorage) and sent.filename:
            text = people_file.decoded(sent.stream.read(people_file.MOST_BYTES + 1))
        else:
            text = str(self.lines.data or "")
        return text.replace("\r\n", "\n").replace("\r", "\n").strip()


class NewPersonForm(PersonForm):
    """A person to add."""

    sign_in = StringField(_l("Sign-in name"), validators=[needed(), at_most(80)])
    language = RadioField(_l("Language"), choices=options(NAMES.items()), validators=[needed()])
