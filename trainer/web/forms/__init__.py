"""What every form here builds on.

Form                base class: text is trimmed, the token is checked, only form fields are read
AddressForm         a form that stands in the address and changes nothing
needed()            "fill this in"
QuantityField       a length, volume, weight or count as the trade writes it, with its reading
options(pairs)      the choices of a select, radio or check field
CheckField          choose several, as check boxes
form_token_field()  a random token, so that one form sent twice acts once; new_token() makes one
made_from_field()   a mark of what the form shows, so that a change made meanwhile is not overwritten
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import cache
from secrets import token_urlsafe
from typing import Any

from babel.support import Translations
from flask import request
from flask_babel import get_locale
from flask_wtf import FlaskForm
from werkzeug.datastructures import CombinedMultiDict, MultiDict
from wtforms import HiddenField, SelectMultipleField, StringField
from wtforms.fields.choices import SelectChoice
from wtforms.fields.core import Field
from wtforms.i18n import messages_path
from wtforms.validators import InputRequired, Length
from wtforms.widgets import CheckboxInput, ListWidget

from trainer.calc import notation
from trainer.errors import Unreadable
from trainer.web.current import language
from trainer.web.i18n import _l, said


def strip(value: object) -> object:
    """Text without the spaces round it; passwords are never passed through here."""
    return value.strip() if isinstance(value, str) else value


class Form(FlaskForm):  # type: ignore[misc]
    """A form of this site."""

    class Meta(FlaskForm.Meta):  # type: ignore[misc]
        def wrap_formdata(self, form: FlaskForm, formdata: Any) -> Any:
            """Only form fields and files count; a JSON body is not a form."""
            if isinstance(formdata, MultiDict) or formdata is None:
                return formdata
            if request.method != "POST":
                return None
            return CombinedMultiDict((request.files, request.form))

        def get_translations(self, form: FlaskForm) -> Any:
            """WTForms' own texts, read once a language: Flask-WTF would read the file for every form."""
            return _field_texts(str(get_locale()))

        def bind_field(self, form: FlaskForm, unbound_field: Any, options: dict[str, Any]) -> Field:
            if issubclass(
                unbound_field.field_class, StringField
            ) and not unbound_field.field_class.__name__.startswith("Password"):
                options = {**options, "filters": [strip, *unbound_field.kwargs.pop("filters", ())]}
            return unbound_field.bind(form=form, **options)


class AddressForm(Form):
    """A form that stands in the address, so that the page can be turned and sent to someone.

    It changes nothing, so it carries no token.
    """

    class Meta(Form.Meta):
        csrf = False

        def wrap_formdata(self, form: FlaskForm, formdata: Any) -> Any:
            return request.args


@cache
def _field_texts(locale: str) -> Any:
    return Translations.load(messages_path(), [locale], domain="wtforms")


class Needed(InputRequired):  # type: ignore[misc]
    """The field must be filled in, with more than spaces."""

    def __init__(self) -> None:
        super().__init__(_l("Fill this in."))

    def __call__(self, form: FlaskForm, field: Field) -> None:
        if field.raw_data and isinstance(field.raw_data[0], str) and not field.raw_data[0].strip():
            field.raw_data = []
        super().__call__(form, field)


def needed() -> Needed:
    """A validator: the field must be filled in."""
    return Needed()


def at_most(letters: int) -> Length:
    """A validator: the text has at most so many letters."""
    return Length(max=letters, message=_l("At most %(max)d letters."))


class QuantityField(StringField):  # type: ignore[misc]
    """A quantity typed as the trade writes it.

    data: the value in `unit`, a Fraction once read; reading: how it was read, None until then
    """

    def __init__(
        self, label: Any = None, validators: Sequence[Any] = (), *, unit: str, **options: Any
    ) -> None:
        self.unit = unit
        self.reading: notation.Reading | None = None
        self.typed = ""
        super().__init__(label, validators, **options)

    def process_data(self, value: Fraction | float | None) -> None:
        self.data = value
        self.typed = "" if value is None else notation.write(value, self.unit, language())

    def process_formdata(self, valuelist: list[str]) -> None:
        self.data = None
        self.typed = valuelist[0].strip() if valuelist else ""
        if not self.typed:
            return
        try:
            self.reading = notation.read(self.typed, self.unit, language())
        except Unreadable as refusal:
            raise ValueError(said(refusal)) from refusal
        self.data = self.reading.value

    def _value(self) -> str:
        return self.typed


def options(pairs: Iterable[tuple[object, object]]) -> list[SelectChoice]:
    """Choices made from pairs of a value and its label."""
    return [SelectChoice(value, label) for value, label in pairs]


class CheckField(SelectMultipleField):  # type: ignore[misc]
    """Choose several, each with its box."""

    widget = ListWidget(prefix_label=False)
    option_widget = CheckboxInput()


def new_token() -> str:
    """A random form token."""
    return token_urlsafe(12)


def form_token_field() -> HiddenField:
    """A hidden random token: fresh for each form shown, kept when the form comes back."""
    return HiddenField(default=new_token, validators=[at_most(40)])


def made_from_field() -> HiddenField:
    """A hidden mark of what the form was made from."""
    return HiddenField(validators=[at_most(80)])
