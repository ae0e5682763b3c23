"""Accepting an older version of a lesson, and asking again."""

from __future__ import annotations

from wtforms import HiddenField, SelectField, TextAreaField

from trainer.records.queries import ChangedLesson
from trainer.web.forms import Form, at_most, form_token_field, needed, options
from trainer.web.i18n import _, _l


class AcceptForm(Form):
    """Which older version counts, and why. present: the version that the page showed."""

    form_token = form_token_field()
    present = HiddenField(validators=[at_most(9)])
    version = SelectField(_l("Oldest version that counts"), coerce=int, validators=[needed()])
    reason = TextAreaField(_l("Why it is enough"), validators=[needed(), at_most(1500)])


class AskAgainForm(Form):
    """Why an older version counts no more."""

    reason = TextAreaField(_l("Why it is asked again"), validators=[needed(), at_most(1500)])


def accept_form(lesson: ChangedLesson) -> AcceptForm:
    """The form for a lesson; it offers the older versions that were read."""
    form = AcceptForm(present=str(lesson.version))
    form.version.choices = options(
        (version, _("version %(version)d", version=version)) for version in lesson.older
    )
    return form
