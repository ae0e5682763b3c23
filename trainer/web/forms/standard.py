"""The form of the shop standard: one field for each figure, made from the core's own list."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from wtforms import SelectField

from trainer.calc import standard
from trainer.errors import Refusal
from trainer.web.forms import Form, QuantityField, made_from_field, needed, options
from trainer.web.i18n import local, said


def standard_form(values: Mapping[str, float | str], mark: str) -> StandardForm:
    """The form filled with the shop's present figures (or with what was typed). mark: of these figures."""
    fields = {name: _field(name) for name in standard.FIELDS}
    made: StandardForm = type("ShopStandardForm", (StandardForm,), fields)(data={**values, "made_from": mark})
    return made


class StandardForm(Form):
    """The figures of the shop standard; made by `standard_form`, which adds a field for each."""

    made_from = made_from_field()

    def figures(self) -> dict[str, float | str]:
        """The figures as the core takes them: numbers in each field's unit, the bar as text."""
        return {name: _plain(self[name].data) for name in standard.FIELDS}

    def validate(self, extra_validators: Any = None) -> bool:
        """Each figure must be readable and no looser than every source and common practice."""
        super().validate(extra_validators)
        for name in standard.FIELDS:
            if not self[name].errors:
                self._check(name)
        return not self.errors

    def _check(self, name: str) -> None:
        try:
            standard.check(name, _plain(self[name].data))
        except Refusal as refusal:
            self[name].errors = [said(refusal)]


def _field(name: str) -> Any:
    field = standard.FIELDS[name]
    label = local(field.meaning)
    label = label[:1].upper() + label[1:]
    if field.choices:
        return SelectField(
            label, choices=options((choice, choice) for choice in field.choices), validators=[needed()]
        )
    return QuantityField(label, validators=[needed()], unit=field.unit)


def _plain(value: Any) -> float | str:
    return value if isinstance(value, str) else float(value)
