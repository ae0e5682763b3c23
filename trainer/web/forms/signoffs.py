"""The form of a sign-off: made from the task's own criteria, at-once fails and measures."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, Final

from wtforms import BooleanField, HiddenField, RadioField, TextAreaField
from wtforms.fields.core import Field
from wtforms.validators import InputRequired

from trainer.clearance import Measure, Task
from trainer.languages import Text
from trainer.records.signoffs import Measured
from trainer.web.forms import Form, QuantityField, at_most, form_token_field, options
from trainer.web.forms.files import RefsField, photos_field
from trainer.web.i18n import _l, local

PASSED: Final = "passed"
OUTCOMES: Final = {
    PASSED: _l("Passed: every criterion was met in front of me"),
    "not": _l("Not passed"),
}


class SignOffForm(Form):
    """What was seen of a task; made by `sign_off_form`, which adds the fields of the task.

    confirmed: the mark of the readings that were shown; change: back to the form, nothing is stored
    photos: what was sent now; kept: references to all that it carries, drop: to those that are left out
    add: only keep the photographs, and back to the form
    """

    task: Task
    photos = photos_field()
    kept = RefsField()
    drop = RefsField()
    notes = TextAreaField(_l("Notes"), validators=[at_most(5000)])
    outcome = RadioField(
        _l("Outcome"),
        choices=options(OUTCOMES.items()),
        validators=[InputRequired(_l("Choose one."))],
        invalid_choice_message=_l("Choose one."),
    )
    form_token = form_token_field()
    confirmed = HiddenField()
    change = HiddenField()
    add = HiddenField()

    @property
    def criteria(self) -> list[Field]:
        return [self[f"criterion-{number}"] for number in range(len(self.task.criteria))]

    @property
    def fails(self) -> list[Field]:
        return [self[f"fail-{number}"] for number in range(len(self.task.fails))]

    @property
    def measures(self) -> list[tuple[Measure, Field]]:
        return [(measure, self[f"measure-{measure.name}"]) for measure in self.task.measures]

    def seen(self) -> dict[str, Any]:
        """What the records take of it, but for the measures."""
        return {
            "passed": self.outcome.data == PASSED,
            "criteria": [bool(box.data) for box in self.criteria],
            "fails": [number for number, box in enumerate(self.fails) if box.data],
        }

    def typed(self) -> dict[str, str]:
        """The measures as typed, by name; "" for one that was not taken."""
        return {measure.name: field.typed for measure, field in self.measures}

    def readings(self, measures: Mapping[str, Measured]) -> list[tuple[Text, Measured | None]]:
        """What each measure of the task was read as; None for one that was not taken."""
        return [(measure.meaning, measures.get(measure.name)) for measure in self.task.measures]

    def carried(self) -> Iterator[tuple[str, str]]:
        """Everything that was entered, as hidden fields carry it to the confirmation."""
        yield from ((box.name, "y") for box in (*self.criteria, *self.fails) if box.data)
        yield from ((field.name, field.typed) for _measure, field in self.measures)
        yield from ((self.kept.name, ref) for ref in self.kept.data)
        yield self.notes.name, self.notes.data or ""
        yield self.outcome.name, self.outcome.data


def sign_off_form(task: Task) -> SignOffForm:
    """The form of one task, empty or with what was sent."""
    fields: dict[str, Any] = {}
    for number, text in enumerate(task.criteria):
        fields[f"criterion-{number}"] = BooleanField(local(text))
    for number, text in enumerate(task.fails):
        fields[f"fail-{number}"] = BooleanField(local(text))
    for measure in task.measures:
        fields[f"measure-{measure.name}"] = QuantityField(local(measure.meaning), unit=measure.unit)
    form: SignOffForm = type("TaskSignOffForm", (SignOffForm,), fields)()
    form.task = task
    for _measure, field in form.measures:
        field.flags.required = (
            True  # for a pass; a task that was not passed may lack it, so nothing validates it
        )
    return form


def mark_of(measures: Mapping[str, Measured], photos: Sequence[str] = ()) -> str:
    """A mark of what the confirmation showed: a reading, a verdict or a photograph that changes is shown again."""
    shown = sorted((name, one.value, one.ok, str(one.verdict)) for name, one in measures.items())
    return hashlib.sha256(repr((shown, list(photos))).encode()).hexdigest()[:16]
