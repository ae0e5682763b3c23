"""The form of a new quiz: for whom, which questions, pass mark, due time."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from functools import cache
from typing import Any, Final
from zoneinfo import ZoneInfo

from wtforms import BooleanField, DateField, RadioField, SelectField, StringField, TimeField
from wtforms.fields.core import Field
from wtforms.validators import InputRequired, ValidationError

from trainer.errors import Refusal
from trainer.questions import Bank, Draw, Question, Skill, draw
from trainer.records.choosing import LEVELS, Choice
from trainer.records.goes import MOST_GOES
from trainer.records.queries import PersonRow, crews_of
from trainer.records.weekly import Weekly
from trainer.web.asked import asked
from trainer.web.current import shop
from trainer.web.forms import CheckField, Form, at_most, form_token_field, needed, options
from trainer.web.i18n import _, _l, local

YEARS: Final = range(2000, 2100)
SAME: Final = "same"
NOT_OFFERED: Final = _l("That is not offered here. Choose again.")


NO_HINTS: Final = "none"
_HINTS: Final = (
    (NO_HINTS, _l("none")),
    ("0", _l("each free")),
    *(
        (str(cost), _l("each takes %(percent)d %% off its question", percent=cost))
        for cost in (10, 20, 25, 33, 50)
    ),
)


_WAITS: Final = (
    ("0", _l("none")),
    ("1", _l("1 hour")),
    *((str(hours), _l("%(hours)d hours", hours=hours)) for hours in (4, 12, 24, 48)),
    *((str(24 * days), _l("%(days)d days", days=days)) for days in (3, 5, 7, 14)),
)


class PercentField(StringField):  # type: ignore[misc]
    """A whole number from 1 to 100; what was typed stays."""

    data: Any

    def process_formdata(self, valuelist: list[str]) -> None:
        typed = valuelist[0].strip() if valuelist else ""
        self.data = typed
        if re.fullmatch(r"[0-9]{1,3}", typed) and 1 <= int(typed) <= 100:
            self.data = int(typed)
        elif typed:
            raise ValueError(
                _("“%(typed)s” is no pass mark; give a whole number from 1 to 100.", typed=typed)
            )


class DayField(DateField):  # type: ignore[misc]
    """A date as the browser's date field sends it."""

    def process_formdata(self, valuelist: list[str]) -> None:
        typed = valuelist[0].strip() if valuelist else ""
        self.data = None
        if not typed:
            return
        try:
            self.data = date.fromisoformat(typed)
        except ValueError:
            raise ValueError(_("“%(typed)s” is no date; give one such as 2026-11-25.", typed=typed)) from None
        if self.data.year not in YEARS:
            raise ValueError(_("“%(typed)s” is no date; give one such as 2026-11-25.", typed=typed))


class ClockField(TimeField):  # type: ignore[misc]
    """A time of day as the browser's time field sends it."""

    def process_formdata(self, valuelist: list[str]) -> None:
        typed = valuelist[0].strip() if valuelist else ""
        self.data = None
        if not typed:
            return
        try:
            self.data = time.fromisoformat(typed).replace(tzinfo=None)
        except ValueError:
            raise ValueError(_("“%(typed)s” is no time; give one such as 17:00.", typed=typed)) from None


@dataclass(frozen=True, slots=True)
class SkillRow:
    """What can be taken of one skill. take: how many at random

    singles: (its box, the box that says it must be right, the question); None where the bank says so already
    """

    skill: Skill
    take: Field
    of: int
    singles: list[tuple[Field, Field | None, Question]]

    @property
    def open(self) -> bool:
        """Whether one of its single questions is chosen."""
        return any(box.checked or (must and must.checked) for box, must, _question in self.singles)


@dataclass(frozen=True, slots=True)
class LessonRows:
    """The skills that one lesson teaches."""

    lesson: str
    skills: list[SkillRow]

    @property
    def open(self) -> bool:
        """Whether something of them is chosen, or wrong."""
        return any(row.take.data != row.take.default or row.take.errors or row.open for row in self.skills)


class AssignForm(Form):
    """A quiz to assign; made by `assign_form`, which adds a field for each skill."""

    bank: Bank
    members: dict[int, frozenset[int]]  # by crew, those of it that a quiz can go to
    title = StringField(_l("Name of the quiz"), validators=[needed(), at_most(120)])
    crews = CheckField(_l("Whole crews"), coerce=int, invalid_choice_message=NOT_OFFERED)
    people = CheckField(_l("For whom"), coerce=int, invalid_choice_message=NOT_OFFERED)
    questions = CheckField(_l("Single questions"), invalid_choice_message=NOT_OFFERED)
    must = CheckField(_l("Must be right on this quiz"), invalid_choice_message=NOT_OFFERED)
    pass_mark = PercentField(_l("Pass mark, in percent"), default=80, validators=[needed()])
    decide = BooleanField(_l("Decide early: ask only until it is clear"))
    weakest = SelectField(
        _l("Of what each person is weakest in, added for each"),
        choices=options([("0", _l("none")), *((str(count), str(count)) for count in range(1, 11))]),
        default="0",
        invalid_choice_message=NOT_OFFERED,
    )
    levels = CheckField(
        _l("Levels of the questions taken at random"),
        coerce=int,
        choices=options((level, _l("level %(level)d", level=level)) for level in LEVELS),
        default=list(LEVELS),
        invalid_choice_message=NOT_OFFERED,
    )
    opens_day = DayField(_l("Opens on"))
    opens_time = ClockField(_l("Opens at"), default=time(7, 0))
    due_day = DayField(_l("Due on"))
    due_time = ClockField(_l("Due by"), default=time(17, 0))
    goes = SelectField(
        _l("How many goes each person has"),
        choices=options((str(count), str(count)) for count in range(1, MOST_GOES + 1)),
        default="1",
        invalid_choice_message=NOT_OFFERED,
    )
    wait = SelectField(
        _l("Wait between two goes"),
        choices=options(_WAITS),
        default="24",
        invalid_choice_message=NOT_OFFERED,
    )
    weekly = BooleanField(_l("Repeat it each week"))
    until = DayField(_l("The last may begin on"))
    numbers = RadioField(
        _l("Numbers in the questions"),
        choices=options((("own", _l("Each person gets their own")), (SAME, _l("The same for all")))),
        default="own",
        validators=[InputRequired(_l("Choose one."))],
    )
    hints = SelectField(
        _l("Hints on the papers"),
        choices=options(_HINTS),
        default=NO_HINTS,
        validators=[InputRequired(_l("Choose one."))],
        invalid_choice_message=NOT_OFFERED,
    )
    form_token = form_token_field()

    def takers(self) -> list[int]:
        """Everyone chosen, singly or with a crew, each once."""
        together = [id for crew in self.crews.data or () for id in sorted(self.members.get(crew, ()))]
        return list(dict.fromkeys([*(self.people.data or ()), *together]))

    def validate_people(self, field: Field) -> None:
        if not field.errors and not self.takers():
            raise ValidationError(_("Choose at least one person."))

    @property
    def details_open(self) -> bool:
        """Whether something among the folded choices was set, or wants a look."""
        folded = (
            "weekly",
            "until",
            "goes",
            "wait",
            "weakest",
            "levels",
            "numbers",
            "hints",
            "decide",
            "opens_day",
            "opens_time",
            "due_day",
            "due_time",
        )
        return any(
            one.errors or (one.data or None) != (one.default or None) for one in map(self.__getitem__, folded)
        )

    def hint_cost(self) -> int | None:
        """What a hint takes off its question's credit [percent]; None when there are none."""
        return None if self.hints.data == NO_HINTS else int(self.hints.data)

    def validate_opens_time(self, field: Field) -> None:
        _need_time(self.opens_day, field)

    def validate_due_time(self, field: Field) -> None:
        _need_time(self.due_day, field)

    def validate_until(self, field: Field) -> None:
        if field.data is not None and not self.weekly.data and not field.errors:
            raise ValidationError(
                _("This day is for a quiz that repeats each week; tick that too, or leave it empty.")
            )

    def repeats(self) -> Weekly | None:
        """For whom it comes again each week; None when it does not."""
        if not self.weekly.data:
            return None
        return Weekly(tuple(self.crews.data or ()), tuple(self.people.data or ()), self.until.data)

    def opens(self) -> datetime | None:
        """When it opens, in UTC; None when no day is given."""
        return _moment(self.opens_day, self.opens_time)

    def due(self) -> datetime | None:
        """The due time in UTC; None when no day is given."""
        return _moment(self.due_day, self.due_time)

    def counts(self) -> dict[str, int]:
        """How many questions are taken at random, by skill; skills left at none are not in it."""
        taken = {skill: int(self[_name(skill)].data) for skill in self.bank.skills if _name(skill) in self}
        return {skill: count for skill, count in taken.items() if count}

    def choice(self) -> Choice:
        """Which questions the quiz asks. One that is only marked as having to be right is asked too."""
        return Choice(
            tuple(self.questions.data or ()),
            self.counts(),
            must=tuple(self.must.data or ()),
            levels=tuple(self.levels.data or LEVELS),
            weakest=int(self.weakest.data),
            same_numbers=self.numbers.data == SAME,
        )

    def by_skill(self) -> list[SkillRow]:
        """The fields of the questions, skill by skill; a single question stands under its first skill."""
        boxes = {box.data: box for box in self.questions}
        musts = {box.data: box for box in self.must}
        return [
            SkillRow(
                skill,
                self[_name(skill.id)],
                len(self.bank.of_skill(skill.id)),
                [
                    (boxes[one.id], musts.get(one.id), one)
                    for one in self.bank.of_skill(skill.id)
                    if one.skills[0] == skill.id
                ],
            )
            for skill in self.bank.skills.values()
            if _name(skill.id) in self
        ]

    def by_lesson(self) -> list[LessonRows]:
        """The same, lesson by lesson."""
        found: dict[str, list[SkillRow]] = {}
        for row in self.by_skill():
            found.setdefault(row.skill.lesson, []).append(row)
        return [LessonRows(lesson, rows) for lesson, rows in found.items()]


def _need_time(day: Field, time: Field) -> None:
    """A day without a time is no moment."""
    if day.data is not None and time.data is None and not time.errors:
        raise ValidationError(_("Give the time too."))


def _moment(day: Field, time: Field) -> datetime | None:
    """A moment in UTC from the shop's day and clock; None when no day is given."""
    if day.data is None or time.data is None:
        return None
    return datetime.combine(day.data, time.data, tzinfo=ZoneInfo(shop().zone)).astimezone(UTC)


def assign_form(bank: Bank, people: Sequence[PersonRow]) -> AssignForm:
    """The form for this bank and these people, empty or with what was sent."""
    takes = {_name(skill.id): _take(skill, len(bank.of_skill(skill.id))) for skill in bank.skills.values()}
    made = type(
        "BankAssignForm", (AssignForm,), {name: one for name, one in takes.items() if one is not None}
    )
    form: AssignForm = made()
    form.bank = bank
    form.people.choices = options((row.id, row.name) for row in people)
    for chosen in (form.goes, form.wait, form.weakest):
        chosen.flags.required = True  # there is always one chosen
    crews = crews_of(people)
    form.members = {crew.id: ids for crew, ids in crews.items()}
    form.crews.choices = options((crew.id, f"{crew.name} ({len(ids)})") for crew, ids in crews.items())
    form.questions.choices = options((one.id, sample(one)) for one in bank.questions.values())
    form.must.choices = options(
        (one.id, _l("must be right")) for one in bank.questions.values() if not one.must_pass
    )
    return form


def sample(question: Question) -> str:
    """What the question asks, with example numbers, in the reader's language."""
    drawn = example(question)
    return question.id if drawn is None else asked(drawn).in_short


@cache
def example(question: Question) -> Draw | None:
    """A draw to show what the question is like; None when it cannot be drawn."""
    try:
        return draw(question, 0)
    except Refusal:
        return None


def _name(skill: str) -> str:
    return f"take-{skill}"


def _take(skill: Skill, most: int) -> Any:
    if not most:
        return None
    return SelectField(
        _l("%(skill)s: how many at random", skill=local(skill.name)),
        choices=options(_counts(most)),
        default="0",
        invalid_choice_message=NOT_OFFERED,
    )


def _counts(most: int) -> Iterable[tuple[str, object]]:
    yield "0", _l("none")
    yield from ((str(count), str(count)) for count in range(1, most + 1))
