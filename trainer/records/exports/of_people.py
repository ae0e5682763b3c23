"""The people, their crews, and what they read and practised."""

from __future__ import annotations

from typing import Final

from sqlalchemy import func, select
from sqlalchemy.orm import aliased

from trainer.languages import Text
from trainer.records.exports.export import Export
from trainer.records.held_rows import text_of
from trainer.records.models import (
    Absence,
    CheckAnswer,
    Crew,
    CrewMember,
    LessonAcceptance,
    LessonPlace,
    LessonReading,
    Person,
    PersonRole,
    PracticeAnswer,
)

_who, _by = aliased(Person), aliased(Person)
_ROLES = (
    select(func.aggregate_strings(PersonRole.role, " "))
    .where(PersonRole.person_id == Person.id)
    .scalar_subquery()
)
PEOPLE: Final = Export(
    "people", "person",
    Text(en="People", es="Personas"),
    Text(
        en="Everyone who was ever added, with roles, language and whether they have left.",
        es="Todas las personas que se agregaron, con sus funciones, su idioma y si ya no están.",
    ),
    select(
        Person.id, Person.name, Person.sign_in, Person.language, Person.email, _ROLES.label("roles"),
        Person.created_at.label("added_at"), Person.left_at,
    ).order_by(Person.id),
    owner=True,
)  # fmt: skip

ROLES: Final = Export(
    "roles", "person_role",
    Text(en="Roles", es="Funciones"),
    Text(en="Who holds which role now.", es="Quién tiene qué función ahora."),
    select(PersonRole.person_id, _who.name.label("person"), PersonRole.role)
    .join(_who, _who.id == PersonRole.person_id).order_by(PersonRole.person_id, PersonRole.role),
    owner=True,
)  # fmt: skip

ABSENCES: Final = Export(
    "absences", "absence",
    Text(en="Absences", es="Ausencias"),
    Text(en="From when to when each person was deactivated.", es="Desde y hasta cuándo estuvo desactivada cada persona."),
    select(Absence.id, Absence.person_id, _who.name.label("person"), Absence.left_at, Absence.back_at)
    .join(_who, _who.id == Absence.person_id).order_by(Absence.id),
    owner=True,
)  # fmt: skip

CREWS: Final = Export(
    "crews", "crew",
    Text(en="Crews", es="Cuadrillas"),
    Text(en="The names of the crews.", es="Los nombres de las cuadrillas."),
    select(Crew.id, Crew.name).order_by(Crew.id),
)  # fmt: skip

CREW_PEOPLE: Final = Export(
    "crew-people", "crew_member",
    Text(en="People in crews", es="Personas en cuadrillas"),
    Text(en="Who is in which crew.", es="Quién está en qué cuadrilla."),
    select(CrewMember.crew_id, Crew.name.label("crew"), CrewMember.person_id, _who.name.label("person"))
    .join(Crew, Crew.id == CrewMember.crew_id).join(_who, _who.id == CrewMember.person_id)
    .order_by(CrewMember.crew_id, CrewMember.person_id),
)  # fmt: skip

LESSONS: Final = Export(
    "lessons-read", "lesson_reading",
    Text(en="Lessons read", es="Lecciones leídas"),
    Text(en="Who read which version of which lesson.", es="Quién leyó qué versión de qué lección."),
    select(
        LessonReading.id, LessonReading.person_id, _who.name.label("person"), LessonReading.lesson,
        LessonReading.version, text_of(LessonReading.checked).label("check_questions"), LessonReading.at.label("read_at"),
    ).join(_who, _who.id == LessonReading.person_id).order_by(LessonReading.id),
)  # fmt: skip

PLACES: Final = Export(
    "lessons-begun", "lesson_place",
    Text(en="Lessons begun", es="Lecciones empezadas"),
    Text(en="How far each person came in each lesson.", es="Hasta dónde llegó cada persona en cada lección."),
    select(
        LessonPlace.id, LessonPlace.person_id, _who.name.label("person"), LessonPlace.lesson, LessonPlace.version,
        LessonPlace.section, LessonPlace.at.label("seen_at"), LessonPlace.ended_at,
    ).join(_who, _who.id == LessonPlace.person_id).order_by(LessonPlace.id),
)  # fmt: skip

CHECKS: Final = Export(
    "lesson-checks", "check_answer",
    Text(en="Check questions", es="Preguntas de repaso"),
    Text(en="Answers to the check questions of lessons.", es="Respuestas a las preguntas de repaso de las lecciones."),
    select(
        CheckAnswer.id, CheckAnswer.person_id, _who.name.label("person"), CheckAnswer.lesson, CheckAnswer.version,
        CheckAnswer.question, CheckAnswer.attempt, CheckAnswer.question_version, CheckAnswer.seed, CheckAnswer.typed,
        CheckAnswer.shown.label("read_as"), CheckAnswer.right, CheckAnswer.slip, CheckAnswer.at.label("answered_at"),
    ).join(_who, _who.id == CheckAnswer.person_id).order_by(CheckAnswer.id),
)  # fmt: skip

ACCEPTED: Final = Export(
    "older-lessons-accepted", "lesson_acceptance",
    Text(en="Older lessons accepted", es="Lecciones anteriores aceptadas"),
    Text(en="Where reading an older version still counts.", es="Dónde todavía cuenta haber leído una versión anterior."),
    select(
        LessonAcceptance.id, LessonAcceptance.lesson, LessonAcceptance.version, LessonAcceptance.present,
        LessonAcceptance.since, LessonAcceptance.reason, LessonAcceptance.by_id, _by.name.label("by"),
        LessonAcceptance.at.label("accepted_at"), LessonAcceptance.ended_by_id, LessonAcceptance.ended_on,
        LessonAcceptance.ended_reason, LessonAcceptance.ended_at,
    ).join(_by, _by.id == LessonAcceptance.by_id).order_by(LessonAcceptance.id),
)  # fmt: skip

PRACTICE: Final = Export(
    "practice", "practice_answer",
    Text(en="Practice", es="Práctica"),
    Text(en="Answers in practice; they never count.", es="Respuestas de práctica; nunca cuentan."),
    select(
        PracticeAnswer.id, PracticeAnswer.person_id, _who.name.label("person"), PracticeAnswer.question,
        PracticeAnswer.version, PracticeAnswer.seed, text_of(PracticeAnswer.skills).label("skills"),
        PracticeAnswer.typed, PracticeAnswer.shown.label("read_as"), PracticeAnswer.right, PracticeAnswer.credit,
        PracticeAnswer.slip, PracticeAnswer.at.label("answered_at"),
    ).join(_who, _who.id == PracticeAnswer.person_id).order_by(PracticeAnswer.id),
)  # fmt: skip
