"""The form of the job check: the day, how high, how steep, what is done, and who might go. It stands in the address."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from flask import request
from wtforms.validators import Optional, ValidationError

from trainer.clearance import Job, Rules
from trainer.clearance.job_file import MOST_HEIGHT, MOST_RISE
from trainer.web.forms import CheckField, QuantityField, options
from trainer.web.forms.board import DayForm
from trainer.web.i18n import _, _l, local


class JobCheckForm(DayForm):
    """What is known of a job. A height or slope left empty is not known, and counts as the worst."""

    height = QuantityField(_l("Height of the work above the ground"), validators=[Optional()], unit="ft")
    rise = QuantityField(_l("Rise of the roof in 12 in"), validators=[Optional()], unit="in")
    tasks = CheckField(_l("What is done on the job"))
    crew = CheckField(_l("Who might go"))

    def __init__(self, rules: Rules, people: Iterable[tuple[int, str]], **data: object) -> None:
        super().__init__(**data)
        self.tasks.choices = options((id, local(task.name)) for id, task in rules.tasks.items())
        self.crew.choices = options((str(id), name) for id, name in people)

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
        """Who might go; nobody chosen stands for everyone."""
        return frozenset(map(int, self.crew.data or ()))

    def validate_height(self, field: QuantityField) -> None:
        _between(field, MOST_HEIGHT, _("A height is 0 to %(most)d feet.", most=MOST_HEIGHT))

    def validate_rise(self, field: QuantityField) -> None:
        _between(field, MOST_RISE, _("A roof rises 0 to %(most)d inches in 12.", most=MOST_RISE))


def _between(field: QuantityField, most: int, sentence: str) -> None:
    if field.data is not None and not 0 <= field.data <= most:
        raise ValidationError(sentence)


def _plain(value: Fraction | float | None) -> float | None:
    return None if value is None else float(value)
