"""The form of one clearance: what it is called, what it covers, and what it asks for, all on one page."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any, Final

from wtforms import RadioField, StringField, TextAreaField
from wtforms.fields.core import Field
from wtforms.validators import ValidationError

from trainer.clearance import (
    CertificateRequirement,
    Clearance,
    ClearanceRequirement,
    LessonRequirement,
    QuizRequirement,
    Requirement,
    Rules,
    SignOffRequirement,
)
from trainer.clearance.content import MOST_DAYS, MOST_TIMES
from trainer.languages import Text
from trainer.web.forms import CheckField, at_most, needed, options
from trainer.web.forms.assign import NOT_OFFERED
from trainer.web.forms.rules import GRANTS, STILL, DecideForm
from trainer.web.i18n import _, _l, local

SPARE: Final = 1  # empty places for a quiz beside those that the clearance asks for


class CountField(StringField):  # type: ignore[misc]
    """A whole number from 1 to `most`, or nothing."""

    def __init__(
        self, label: Any = None, validators: Sequence[Any] = (), *, most: int, **options: Any
    ) -> None:
        self.most = most
        self.data: Any = None
        super().__init__(label, validators, **options)

    def process_formdata(self, valuelist: list[str]) -> None:
        typed = valuelist[0].strip() if valuelist else ""
        self.data = typed or None
        if not typed:
            return
        if not re.fullmatch(r"[0-9]{1,6}", typed) or not 1 <= int(typed) <= self.most:
            raise ValueError(_("Give a whole number from 1 to %(most)d, or leave it empty.", most=self.most))
        self.data = int(typed)

    def _value(self) -> str:
        return "" if self.data is None else str(self.data)


def clearance_form(
    rules: Rules, clearance: Clearance | None, certificates: Sequence[tuple[str, str]]
) -> ClearanceForm:
    """The form filled with the clearance, or empty for a new one. certificates: (kind, its name)."""
    quizzes = [need for need in clearance.requires if isinstance(need, QuizRequirement)] if clearance else []
    fields: dict[str, Any] = {}
    for place in range(len(quizzes) + SPARE):
        fields[f"quiz_{place}_skills"] = CheckField(
            _l("Skills it must ask about"),
            choices=options((id, local(name)) for id, name in rules.skills.items()),
            invalid_choice_message=NOT_OFFERED,
        )
        fields[f"quiz_{place}_score"] = CountField(_l("Score needed, in percent"), most=100)
        fields[f"quiz_{place}_days"] = CountField(_l("Days it counts"), most=MOST_DAYS)
    for task in rules.tasks:
        fields[f"task_{task}_times"] = CountField(_l("Times"), most=MOST_TIMES)
        fields[f"task_{task}_days"] = CountField(_l("Days it counts"), most=MOST_DAYS)
    form: type[ClearanceForm] = type("ClearanceForm", (ClearanceForm,), fields)
    made = form(data=_filled(clearance, quizzes) if clearance else None)
    made.rules, made.old, made.quizzes = rules, clearance, len(quizzes) + SPARE
    made.lessons.choices = options((id, local(one.title)) for id, one in rules.lessons.items())
    others = [one for one in rules.clearances.values() if clearance is None or one.id != clearance.id]
    made.clearances.choices = options((one.id, local(one.name)) for one in others)
    made.certificates.choices = options(certificates)
    return made


def _filled(clearance: Clearance, quizzes: list[QuizRequirement]) -> dict[str, Any]:
    """What stands in the form of a clearance as it is."""
    data: dict[str, Any] = {"lessons": [], "clearances": [], "certificates": []}
    for language in ("en", "es"):
        data[f"name_{language}"] = clearance.name.in_language(language)
        data[f"covers_{language}"] = clearance.covers.in_language(language)
        data[f"caution_{language}"] = clearance.caution.in_language(language) if clearance.caution else ""
    for need in clearance.requires:
        match need:
            case LessonRequirement(lesson=name):
                data["lessons"].append(name)
            case ClearanceRequirement(clearance=name):
                data["clearances"].append(name)
            case CertificateRequirement(certificate=name):
                data["certificates"].append(name)
            case SignOffRequirement():
                data[f"task_{need.task}_times"] = need.times
                data[f"task_{need.task}_days"] = need.within_days
    for place, quiz in enumerate(quizzes):
        data[f"quiz_{place}_skills"] = list(quiz.skills)
        data[f"quiz_{place}_score"] = quiz.score
        data[f"quiz_{place}_days"] = quiz.within_days
    return data


class ClearanceForm(DecideForm):
    """Made by `clearance_form`, which adds a row for each quiz and each practical task."""

    rules: Rules
    old: Clearance | None
    quizzes: int

    name_en = StringField(_l("Name in English"), validators=[needed(), at_most(80)])
    name_es = StringField(_l("Name in Spanish"), validators=[needed(), at_most(80)])
    covers_en = TextAreaField(
        _l("What it covers and what not, in English"), validators=[needed(), at_most(1000)]
    )
    covers_es = TextAreaField(
        _l("What it covers and what not, in Spanish"), validators=[needed(), at_most(1000)]
    )
    caution_en = TextAreaField(_l("Caution in English"), validators=[at_most(1000)])
    caution_es = TextAreaField(_l("Caution in Spanish"), validators=[at_most(1000)])
    clearances = CheckField(_l("Other clearances that must stand"), invalid_choice_message=NOT_OFFERED)
    lessons = CheckField(_l("Lessons read"), invalid_choice_message=NOT_OFFERED)
    certificates = CheckField(_l("Certificates in date"), invalid_choice_message=NOT_OFFERED)
    grants = RadioField(
        _l("Grants given before"), choices=options(GRANTS), default=STILL, validators=[needed()]
    )

    def validate_caution_es(self, field: Field) -> None:
        if bool(field.data) != bool(self.caution_en.data):
            raise ValidationError(_("Give the caution in both languages, or in neither."))

    def validate(self, extra_validators: Any = None) -> bool:
        """Besides each field: of a quiz both skills and score, of a task the times."""
        super().validate(extra_validators)
        for skills, score, days in self.quiz_rows():
            if skills.data and score.data is None and not score.errors:
                score.errors = [_("Give the score that is needed.")]
            if not skills.data and (score.data is not None or days.data is not None):
                skills.errors = [_("Choose at least one skill, or empty the whole row.")]
        for _task, times, days in self.task_rows():
            if times.data is None and days.data is not None and not times.errors:
                times.errors = [_("Give how many times, or leave both empty.")]
        return not self.errors

    def quiz_rows(self) -> Iterator[tuple[Field, Field, Field]]:
        """(skills, score, days) of each quiz."""
        for place in range(self.quizzes):
            yield self[f"quiz_{place}_skills"], self[f"quiz_{place}_score"], self[f"quiz_{place}_days"]

    def task_rows(self) -> Iterator[tuple[str, Field, Field]]:
        """(task, times, days) of each practical task."""
        for task in self.rules.tasks:
            yield task, self[f"task_{task}_times"], self[f"task_{task}_days"]

    def clearance(self, id: str) -> Clearance:
        """The clearance as it was entered; its versions are given to it when it is kept."""
        caution = Text(en=self.caution_en.data, es=self.caution_es.data) if self.caution_en.data else None
        return Clearance(
            id=id,
            version=1,
            accepts=1,
            name=Text(en=self.name_en.data, es=self.name_es.data),
            covers=_joined(self.covers_en.data, self.covers_es.data),
            requires=tuple(self._requires()),
            caution=caution,
        )

    def _requires(self) -> Iterator[Requirement]:
        held = self.old.requires if self.old else ()
        versions = {need.lesson: need.version for need in held if isinstance(need, LessonRequirement)}
        yield from (ClearanceRequirement(name) for name in self.clearances.data or ())
        yield from (LessonRequirement(name, versions.get(name)) for name in self.lessons.data or ())
        yield from (CertificateRequirement(name) for name in self.certificates.data or ())
        for skills, score, days in self.quiz_rows():
            if skills.data:
                yield QuizRequirement(tuple(skills.data), score.data, days.data)
        for task, times, days in self.task_rows():
            if times.data is not None:
                yield SignOffRequirement(task, times.data, days.data)


def _joined(en: str, es: str) -> Text:
    """Both texts on one line each, as the files hold them."""
    return Text(en=" ".join(en.split()), es=" ".join(es.split()))


def name_of(text: str, taken: Sequence[str]) -> str:
    """An id made from a name that no clearance ever had."""
    plain = "-".join(re.findall(r"[a-z0-9]+", text.lower()))[:60].strip("-") or "clearance"
    number, found = 1, plain
    while found in taken:
        number += 1
        found = f"{plain}-{number}"
    return found
