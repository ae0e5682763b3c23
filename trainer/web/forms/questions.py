"""Trying out a question file."""

from __future__ import annotations

from wtforms import TextAreaField

from trainer.questions.preview import MOST_LETTERS
from trainer.web.forms import Form, at_most, needed
from trainer.web.i18n import _l


class TryForm(Form):
    """A whole question file, pasted. Nothing of it is stored."""

    file = TextAreaField(_l("The file"), validators=[needed(), at_most(MOST_LETTERS)])
