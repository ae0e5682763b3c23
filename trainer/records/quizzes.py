"""Assigning a quiz: which questions, to whom, by when; every paper's draws are frozen here."""

from __future__ import annotations

import random
import secrets
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.learning import Deciding
from trainer.questions import Draw, Question
from trainer.records import deciding as deciding_terms
from trainer.records import history, paper_sheets
from trainer.records.actors import Actor, active_person_of, checked_text, need_reviewer
from trainer.records.choosing import (
    LEVELS,
    SEED_BITS,
    Choice,
    Drawer,
    choose,
    chosen,
    drawn_for,
    rows_of,
    seed_of,
)
from trainer.records.goes import MOST_GOES, frozen_facts
from trainer.records.models import Paper, PaperQuestion, Quiz
from trainer.records.papers import score_at_hand_in
from trainer.records.shop import the_shop
from trainer.records.submissions import stored_before
from trainer.records.weekly import Weekly, begin

LONGEST_WAIT = 30 * 24  # hours between two goes
TITLE = Text(en="The quiz's title", es="el título del examen")


__all__ = ["Assigned", "Choice", "assign", "choose", "close", "preview", "seed_of"]


@dataclass(frozen=True, slots=True)
class Assigned:
    """What was assigned; repeated: this form was stored before, and nothing was added."""

    quiz_id: int
    papers: tuple[int, ...]
    repeated: bool


def assign(
    session: Session,
    actor: Actor,
    now: datetime,
    *,
    title: str,
    people: Collection[int],
    questions: Sequence[str] = (),
    skills: Mapping[str, int] | None = None,
    pass_mark: int,
    due: datetime | None,
    same_numbers: bool,
    bank: Mapping[str, Question],
    draw: Drawer,
    token: str,
    seed: int | None = None,
    skill_names: Mapping[str, Text] | None = None,
    hint_cost: int | None = None,
    decide: Deciding | None = None,
    weakest: int = 0,
    weak_in: Mapping[int, Sequence[str]] | None = None,
    levels: Collection[int] = LEVELS,
    must: Collection[str] = (),
    opens: datetime | None = None,
    goes: int = 1,
    wait_hours: int = 0,
    weekly: Weekly | None = None,
    of_week: tuple[int, int] | None = None,
) -> Assigned:
    """Assign a quiz: one paper for each of `people`.

    questions, skills, must, levels, weakest, same_numbers: what is asked, as `Choice` has it
    pass_mark [percent]; opens: from when it may be started, None at once
    goes: how often each may sit it until it is passed; wait_hours: between a closed paper and the next go
    bank: the questions by id; draw: makes a draw of a question from a seed and the shop standard
    skill_names: what a refusal calls each skill; its id without one
    hint_cost: what each hint takes off its question's credit [percent]; None gives no hints
    decide: each paper ends as soon as it is clear whether the person is above the mark; the questions are the most
    weak_in: by person, their skills, weakest first
    weekly: it comes again each week; of_week: it is a later one of such, (which, the week)
    Refusal: nobody, nothing asked, unknown or too few questions, a mark or due time that cannot be.
    """
    need_reviewer(actor)
    choice = Choice(
        tuple(questions), dict(skills or {}), tuple(must), tuple(levels), weakest, bool(same_numbers)
    )
    named = checked_text(title, TITLE, 200)
    wanted = {**choice.kept(), "decides": decide is not None}
    terms = {
        "title": named,
        "pass_mark": pass_mark,
        "opens": opens,
        "due": due,
        "by_id": actor.id,
        "hint_cost": hint_cost,
        "goes": goes,
        "wait_hours": wait_hours if goes > 1 else 0,
    }
    content = {
        **terms,
        "wanted": wanted,
        "takers": set(people),
        "weekly": None if weekly is None else weekly.terms,
    }
    loads = selectinload(Quiz.papers), selectinload(Quiz.repeat)
    stored = stored_before(session, Quiz, token, content, *loads)
    if stored is not None:
        return Assigned(stored.id, tuple(paper.id for paper in stored.papers), repeated=True)
    _check_terms(pass_mark, hint_cost)
    _check_times(opens, due, now)
    _check_goes(goes, wait_hours)
    _check_weakest(choice, decide is not None)
    _check_hints(hint_cost, decide is not None)
    if not people:
        raise Refusal(Text(en="Choose at least one person.", es="Elija al menos una persona."))
    takers = [active_person_of(session, person_id).id for person_id in dict.fromkeys(people)]
    seed = secrets.randbits(SEED_BITS) if seed is None else seed
    source = random.Random(seed)
    clear = deciding_terms.terms_for(pass_mark, decide) if decide is not None else None
    asked, first = chosen(bank, choice, source, skill_names or {}, clear is not None)
    if clear is not None:
        deciding_terms.need_enough(clear, len(asked))
    if weekly is not None:
        of_week = begin(session, actor, now, weekly, opens or now, named).id, 0
    quiz = Quiz(
        **terms,
        repeat_id=of_week[0] if of_week else None,
        week=of_week[1] if of_week else None,
        spec={**choice.kept(), "seed": seed, "asked": [question.id for question in asked]},
        deciding=None if clear is None else deciding_terms.kept(clear, first),
        at=now,
        form_token=token,
    )
    session.add(quiz)
    standard = the_shop(session).standard
    drawn = drawn_for(takers, asked, choice, weak_in or {}, bank, standard, draw, source)
    papers = [
        Paper(quiz=quiz, person_id=taker, questions=[PaperQuestion(**row) for row in rows_of(paper)])
        for taker, paper in zip(takers, drawn, strict=True)
    ]
    session.add_all(papers)
    session.flush()
    for paper in papers:
        tell_assigned(session, actor, now, quiz, paper)
    return Assigned(quiz.id, tuple(paper.id for paper in papers), repeated=False)


def preview(
    session: Session,
    actor: Actor,
    *,
    person_id: int,
    choice: Choice,
    seed: int,
    bank: Mapping[str, Question],
    draw: Drawer,
    skill_names: Mapping[str, Text],
    decides: bool,
    weak_in: Mapping[int, Sequence[str]],
) -> list[Draw]:
    """The draws of the first person's paper, as `assign` would freeze them; nothing is stored. Raises Refusal."""
    need_reviewer(actor)
    _check_weakest(choice, decides)
    source = random.Random(seed)
    asked, _first = chosen(bank, choice, source, skill_names, decides)
    standard = the_shop(session).standard
    drawn = next(drawn_for([person_id], asked, choice, weak_in, bank, standard, draw, source))
    return [one for _seed, one in drawn]


def tell_assigned(session: Session, actor: Actor, now: datetime, quiz: Quiz, paper: Paper) -> None:
    """The event of one paper that was assigned, with what was frozen."""
    history.append(
        session,
        now,
        kind="quiz assigned",
        actor_id=actor.id,
        person_id=paper.person_id,
        quiz=quiz.id,
        paper=paper.id,
        title=quiz.title,
        pass_mark=quiz.pass_mark,
        opens=quiz.opens,
        due=quiz.due,
        hint_cost=quiz.hint_cost,
        deciding=quiz.deciding,
        must=quiz.must,
        goes=quiz.goes,
        wait_hours=quiz.wait_hours,
        repeat=quiz.repeat_id,
        week=quiz.week,
        **frozen_facts(paper),
    )


def close(session: Session, actor: Actor, now: datetime, quiz_id: int) -> None:
    """Take back every paper of the quiz that is still out; each closes as it stands, and no further go is begun."""
    need_reviewer(actor)
    quiz = session.scalars(select(Quiz).where(Quiz.id == quiz_id).with_for_update()).one_or_none()
    if quiz is None:
        raise UnknownName(Text(en="There is no such quiz.", es="No existe ese examen."))
    papers = session.scalars(
        select(Paper)
        .where(Paper.quiz_id == quiz_id, Paper.closed_at.is_(None))
        .order_by(Paper.id)
        .with_for_update()
    ).all()
    if quiz.ended_at is None and quiz.goes > 1:
        quiz.ended_at, quiz.ended_by_id = now, actor.id
        history.append(
            session, now, kind="quiz taken back", actor_id=actor.id, quiz=quiz.id, title=quiz.title
        )
    for paper in papers:
        paper_sheets.close(session, paper, now, "taken back")
        history.append(
            session,
            now,
            kind="paper taken back",
            actor_id=actor.id,
            person_id=paper.person_id,
            paper=paper.id,
            score=score_at_hand_in(session, paper.id),
        )


def _check_times(opens: datetime | None, due: datetime | None, now: datetime) -> None:
    if due is not None and due <= now:
        raise Refusal(Text(en="The due time lies in the past.", es="La fecha de entrega ya pasó."))
    if due is not None and opens is not None and due <= opens:
        raise Refusal(
            Text(
                en="The quiz would be due before it opens; give a later due time.",
                es="El examen se entregaría antes de abrir; ponga una entrega posterior.",
            )
        )


def _check_goes(goes: int, wait_hours: int) -> None:
    if not 1 <= goes <= MOST_GOES or not 0 <= wait_hours <= LONGEST_WAIT:
        raise Refusal(
            Text(
                en="%(goes)s goes with %(hours)s hours between cannot be; give 1 to %(most)s goes and at most %(longest)s hours.",
                es="%(goes)s intentos con %(hours)s horas entre uno y otro no pueden ser; ponga de 1 a %(most)s intentos y %(longest)s horas a lo más.",
            ),
            goes=goes,
            hours=wait_hours,
            most=MOST_GOES,
            longest=LONGEST_WAIT,
        )


def _check_terms(pass_mark: int, hint_cost: int | None) -> None:
    if not 1 <= pass_mark <= 100:
        raise Refusal(
            Text(
                en="The pass mark %(given)s cannot be; give 1 to 100 percent.",
                es="La calificación mínima %(given)s no puede ser; escriba de 1 a 100 por ciento.",
            ),
            given=pass_mark,
        )
    if hint_cost is not None and not 0 <= hint_cost <= 100:
        raise Refusal(
            Text(
                en="A hint cannot cost %(given)s; give 0 to 100 percent.",
                es="Una pista no puede costar %(given)s; escriba de 0 a 100 por ciento.",
            ),
            given=hint_cost,
        )


def _check_weakest(choice: Choice, decides: bool) -> None:
    if choice.weakest and choice.same_numbers:
        raise Refusal(
            Text(
                en="What each person is weakest in differs, so the numbers cannot be the same for all.",
                es="Lo más flojo de cada persona es distinto, así que los números no pueden ser iguales para todos.",
            )
        )
    if choice.weakest and decides:
        raise Refusal(
            Text(
                en="A quiz that decides early asks all the same questions; leave out what each is weakest in.",
                es="Un examen que decide pronto pregunta lo mismo a todos; quite lo más flojo de cada persona.",
            )
        )


def _check_hints(hint_cost: int | None, decides: bool) -> None:
    """Wald's test weighs right against wrong; an answer that a hint led to is neither."""
    if hint_cost is not None and decides:
        raise Refusal(
            Text(
                en="A quiz that decides early gives no hints; choose one or the other.",
                es="Un examen que decide pronto no da pistas; elija una cosa o la otra.",
            )
        )
