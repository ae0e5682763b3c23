"""What a quiz on paper is made of: each paper that is still out, with its drawn questions."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.errors import NotAllowed, Refusal, UnknownName
from trainer.languages import Text
from trainer.records.actors import Actor, need_reviewer
from trainer.records.entering import EARLY
from trainer.records.models import Paper, PaperQuestion, Person, Quiz
from trainer.records.review import STILL_TO_SIT, sitting

NO_QUIZ = Text(en="There is no such quiz.", es="No existe ese examen.")
NONE_OUT = Text(
    en="No paper of this quiz is still out, so there is nothing to print.",
    es="No queda ningún examen sin entregar, así que no hay nada que imprimir.",
)


@dataclass(frozen=True, slots=True)
class PaperSheet:
    """One person's paper to print. draws: the drawn questions as frozen, in order; language: the person's"""

    paper_id: int
    person: str
    language: str
    title: str
    pass_mark: int
    draws: tuple[Any, ...]
    must_pass: tuple[bool, ...]


def paper_sheets(session: Session, actor: Actor, quiz_id: int) -> tuple[PaperSheet, ...]:
    """The papers of a quiz that are still out, by name. NotAllowed for whoever has one of them to sit; Refusal when the
    quiz decides early, or none is out.
    """
    need_reviewer(actor)
    quiz = session.get(Quiz, quiz_id)
    if quiz is None:
        raise UnknownName(NO_QUIZ)
    if quiz.deciding is not None:
        raise Refusal(EARLY)
    if quiz_id in session.scalars(sitting(actor)).all():
        raise NotAllowed(STILL_TO_SIT)
    rows = session.execute(
        select(Paper.id, Person.name, Person.language, PaperQuestion.draw, PaperQuestion.must_pass)
        .join(Person, Person.id == Paper.person_id)
        .join(PaperQuestion, PaperQuestion.paper_id == Paper.id)
        .where(Paper.quiz_id == quiz_id, Paper.closed_at.is_(None))
        .order_by(Person.name, Paper.id, PaperQuestion.position)
    ).all()
    if not rows:
        raise Refusal(NONE_OUT)
    of_paper: dict[tuple[int, str, str], list[Any]] = defaultdict(list)
    for paper, name, language, draw, must_pass in rows:
        of_paper[paper, name, language].append((draw, must_pass))
    return tuple(
        PaperSheet(
            *who,
            quiz.title,
            quiz.pass_mark,
            tuple(draw for draw, _ in asked),
            tuple(must for _, must in asked),
        )
        for who, asked in of_paper.items()
    )
