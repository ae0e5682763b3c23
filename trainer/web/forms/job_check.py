"""The form of the job check: the day, how high, how steep, what is done, and who might go. It stands in the address."""

from __future__ import annotations

from collections.abc import Collection
from fractions import Fraction

from flask import request
from wtforms import SelectField
from wtforms.validators import Optional, ValidationError

from trainer.clearance import Job, Rules
from trainer.clearance.job_file import MOST_HEIGHT, MOST_RISE
from trainer.records.queries import PersonRow, crews_of
from trainer.web.forms import CheckField, QuantityField, options
from trainer.web.forms.board import EVERYTHING, DayForm
from trainer.web.i18n import _, _l, local


class JobCheckForm(DayForm):
    """What is known of a job. A height or slope left empty is not known, and counts as the worst."""

    height = QuantityField(_l("Height of the work above the ground"), validators=[Optional()], unit="ft")
    rise = QuantityField(_l("Rise of the roof in 12 in"), validators=[Optional()], unit="in")
    tasks = CheckField(_l("What is done on the job"))
    whole_crew = SelectField(_l("Crew"), default=EVERYTHING)
    crew = CheckField(_l("Who might go"))

    def __init__(self, rules: Rules, people: Collection[PersonRow], **data: object) -> None:
        """people: those whom the asker may ask about, besides themselves."""
        super().__init__(**data)
        self.tasks.choices = options((id, local(task.name)) for id, task in rules.tasks.items())
        self.crew.choices = options((str(row.id), row.name) for row in people)
        self._crews = {str(one.id): (one, ids) for one, ids in crews_of(people).items()}
        self.whole_crew.choices = options(
            [(EVERYTHING, _("all")), *((id, one.name) for id, (one, _ids) in self._crews.items())]
        )

    @property
    def asked(self) -> bool:
        """Whether the address asks about a job, in a way that can be read."""
        return "on" in request.args and self.validate()

    @property
    def job(self) -> Job:
        return Job(
            self.on.data, _plain(self.height.data), _plain(self.rise.data), frozenset(self.tasks.data or ())
        )

    @property
    def people(self) -> frozenset[int]:
        """Who might go: everyone of the crew, and who is named besides; nobody chosen stands for everyone."""
        _crew, ids = self._crews.get(self.whole_crew.data or EVERYTHING, (None, frozenset[int]()))
        return ids | frozenset(map(int, self.crew.data or ()))

    @property
    def crew_name(self) -> str:
        """The crew asked about, "" when none is."""
        crew, _ids = self._crews.get(self.whole_crew.data or EVERYTHING, (None, None))
        return crew.name if crew else ""

    def validate_height(self, field: QuantityField) -> None:
        _between(field, MOST_HEIGHT, _("A height is 0 to %(most)d feet.", most=MOST_HEIGHT))

    def validate_rise(self, field: QuantityField) -> None:
        _between(field, MOST_RISE, _("A roof rises 0 to %(most)d inches in 12.", most=MOST_RISE))


def _between(field: QuantityField, most: int, sentence: str) -> None:
    if field.data is not None and not 0 <= field.data <= most:
        raise ValidationError(sentence)


def _plain(value: Fraction | float | None) -> float | None:
    return None if value is None else float(value)
