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
from trainer.records.choosing import LEVELS, SEED_BITS, Drawer, choose, draw_all, of_weakest, seed_of
from trainer.records.fingerprints import of_question
from trainer.records.models import Paper, PaperQuestion, Quiz
from trainer.records.papers import score_at_hand_in
from trainer.records.shop import the_shop
from trainer.records.submissions import stored_before

TITLE = Text(en="The quiz's title", es="el título del examen")


__all__ = ["Assigned", "assign", "choose", "close", "preview", "seed_of"]


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
) -> Assigned:
    """Assign a quiz: one paper for each of `people`.

    questions: ids, in order; skills: by skill, how many more questions of it, taken at random with the
    must-pass ones first and none twice; pass_mark [percent]; same_numbers: every paper has the same draws
    bank: the questions by id; draw: makes a draw of a question from a seed and the shop standard
    skill_names: what a refusal calls each skill; its id without one
    hint_cost: what each hint takes off its question's credit [percent]; None gives no hints
    decide: each paper ends as soon as it is clear whether the person is above the mark; the questions are the most
    levels: of which levels questions are taken at random; one that must be right is taken at any level
    weakest: how many more questions each person gets of what they are weakest in, one a skill; weak_in: by person, their
    skills in that order
    Refusal: nobody, nothing asked, unknown or too few questions, a mark or due time that cannot be.
    """
    need_reviewer(actor)
    named = checked_text(title, TITLE, 200)
    asked_for = {"questions": list(questions), "skills": dict(skills or {}), "same_numbers": same_numbers}
    if set(levels) != set(LEVELS):
        asked_for["levels"] = sorted(set(levels))
    wanted = {**asked_for, "weakest": weakest, "decides": decide is not None}
    terms = {"title": named, "pass_mark": pass_mark, "due": due, "by_id": actor.id, "hint_cost": hint_cost}
    content = {**terms, "wanted": wanted, "takers": set(people)}
    stored = stored_before(session, Quiz, token, content, selectinload(Quiz.papers))
    if stored is not None:
        return Assigned(stored.id, tuple(paper.id for paper in stored.papers), repeated=True)
    _check_terms(pass_mark, due, now, hint_cost)
    _check_weakest(weakest, same_numbers, decide is not None)
    _check_hints(hint_cost, decide is not None)
    if not people:
        raise Refusal(Text(en="Choose at least one person.", es="Elija al menos una persona."))
    takers = [active_person_of(session, person_id) for person_id in dict.fromkeys(people)]
    seed = secrets.randbits(SEED_BITS) if seed is None else seed
    source = random.Random(seed)
    asked = choose(bank, questions, skills or {}, source, skill_names or {}, also=weakest, levels=levels)
    terms_kept = None
    if decide is not None:
        clear = deciding_terms.terms_for(pass_mark, decide)
        deciding_terms.need_enough(clear, len(asked))
        asked, first = deciding_terms.in_order(asked, source)
        terms_kept = deciding_terms.kept(clear, first)
    spec = {**asked_for, "weakest": weakest, "seed": seed, "asked": [question.id for question in asked]}
    quiz = Quiz(**terms, spec=spec, deciding=terms_kept, at=now, form_token=token)
    session.add(quiz)
    standard = the_shop(session).standard
    drawn = draw_all(asked, standard, draw, source) if same_numbers else None
    papers = []
    for person in takers:
        own = of_weakest(
            bank, (weak_in or {}).get(person.id, ()), weakest, {one.id for one in asked}, source, levels
        )
        rows = drawn if drawn is not None else draw_all([*asked, *own], standard, draw, source)
        paper = Paper(quiz=quiz, person_id=person.id, questions=[PaperQuestion(**row) for row in rows])
        session.add(paper)
        papers.append(paper)
    session.flush()
    for paper in papers:
        tell_assigned(session, actor, now, quiz, paper)
    return Assigned(quiz.id, tuple(paper.id for paper in papers), repeated=False)


def preview(
    session: Session,
    actor: Actor,
    *,
    person_id: int,
    questions: Sequence[str],
    skills: Mapping[str, int],
    seed: int,
    same_numbers: bool,
    bank: Mapping[str, Question],
    draw: Drawer,
    skill_names: Mapping[str, Text],
    decides: bool,
    weakest: int,
    weak_in: Mapping[int, Sequence[str]],
    levels: Collection[int],
) -> list[Draw]:
    """The draws of the first person's paper, as `assign` would freeze them; nothing is stored. Raises Refusal."""
    need_reviewer(actor)
    _check_weakest(weakest, same_numbers, decides)
    source = random.Random(seed)
    asked = choose(bank, questions, skills, source, skill_names, also=weakest, levels=levels)
    if decides:
        asked, _first = deciding_terms.in_order(asked, source)
    if not same_numbers:
        taken = {one.id for one in asked}
        asked = [*asked, *of_weakest(bank, weak_in.get(person_id, ()), weakest, taken, source, levels)]
    standard = the_shop(session).standard
    return [draw(question, source.getrandbits(SEED_BITS), standard) for question in asked]


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
        due=quiz.due,
        hint_cost=quiz.hint_cost,
        deciding=quiz.deciding,
        questions=[[row.question, row.version, row.hash, row.seed] for row in paper.questions],
        frozen=[of_question(row.skills, row.must_pass, row.draw) for row in paper.questions],
    )


def close(session: Session, actor: Actor, now: datetime, quiz_id: int) -> None:
    """Take back every paper of the quiz that is still out; each closes as it stands."""
    need_reviewer(actor)
    papers = session.scalars(
        select(Paper)
        .where(Paper.quiz_id == quiz_id, Paper.closed_at.is_(None))
        .order_by(Paper.id)
        .with_for_update()
    ).all()
    if not papers and session.get(Quiz, quiz_id) is None:
        raise UnknownName(Text(en="There is no such quiz.", es="No existe ese examen."))
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


def _check_terms(pass_mark: int, due: datetime | None, now: datetime, hint_cost: int | None) -> None:
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
    if due is not None and due <= now:
        raise Refusal(Text(en="The due time lies in the past.", es="La fecha de entrega ya pasó."))


def _check_weakest(weakest: int, same_numbers: bool, decides: bool) -> None:
    if weakest and same_numbers:
        raise Refusal(
            Text(
                en="What each person is weakest in differs, so the numbers cannot be the same for all.",
                es="Lo más flojo de cada persona es distinto, así que los números no pueden ser iguales para todos.",
            )
        )
    if weakest and decides:
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
