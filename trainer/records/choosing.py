"""Choosing the questions of a quiz, and drawing them."""

from __future__ import annotations

import random
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from hashlib import blake2b
from typing import Any

from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.questions import Draw, Question
from trainer.records.deciding import in_order

MOST_QUESTIONS = 100
SEED_BITS = 31
LEVELS = (1, 2, 3)

Drawer = Callable[[Question, int, Mapping[str, Any]], Draw]
Drawn = list[tuple[int, Draw]]  # (the seed, what was drawn from it), in the order of a paper


@dataclass(frozen=True, slots=True)
class Choice:
    """Which questions a quiz asks, as a trainer chose them.

    questions: ids, in order; must: those that must be right on this quiz beside the bank's own, asked in any case
    skills: by skill, how many more taken at random; levels: of which levels those are
    weakest: how many more each person gets of what they are weakest in; same_numbers: one draw for all
    """

    questions: tuple[str, ...]
    skills: Mapping[str, int]
    must: tuple[str, ...] = ()
    levels: tuple[int, ...] = LEVELS
    weakest: int = 0
    same_numbers: bool = False

    @classmethod
    def from_kept(cls, spec: Mapping[str, Any]) -> Choice:
        """The choice of which `kept` was kept."""
        return cls(
            tuple(spec["questions"]),
            dict(spec["skills"]),
            must=tuple(spec.get("must", ())),
            levels=tuple(spec.get("levels", LEVELS)),
            weakest=spec.get("weakest", 0),
            same_numbers=spec["same_numbers"],
        )

    def terms(self) -> dict[str, Any]:
        """As the arguments of `quizzes.assign`."""
        return {each.name: getattr(self, each.name) for each in fields(self)}

    def kept(self) -> dict[str, Any]:
        """What the quiz keeps of it, as plain JSON values; what is as usual is left out."""
        asked: dict[str, Any] = {
            "questions": list(self.questions),
            "skills": dict(self.skills),
            "same_numbers": self.same_numbers,
            "weakest": self.weakest,
        }
        if self.must:
            asked["must"] = list(self.must)
        if set(self.levels) != set(LEVELS):
            asked["levels"] = sorted(set(self.levels))
        return asked


def seed_of(token: str) -> int:
    """The seed of a quiz made from the form with this token: what was previewed is what is assigned."""
    return int.from_bytes(blake2b(token.encode(), digest_size=4).digest()) >> 1


def of_weakest(
    bank: Mapping[str, Question],
    skills: Sequence[str],
    count: int,
    chosen: Collection[str],
    source: random.Random,
    levels: Collection[int],
) -> list[Question]:
    """One question of each skill in turn, round and round, until there are `count` or no more."""
    found: dict[str, Question] = {}
    while len(found) < count:
        before = len(found)
        for skill in skills[: count - before]:
            free = [
                one
                for one in bank.values()
                if skill in one.skills and _fits(one, levels) and one.id not in chosen and one.id not in found
            ]
            if free and len(found) < count:
                one = source.choice(sorted(free, key=lambda question: question.id))
                found[one.id] = one
        if len(found) == before:
            return list(found.values())
    return list(found.values())


def choose(
    bank: Mapping[str, Question],
    questions: Sequence[str],
    skills: Mapping[str, int],
    source: random.Random,
    names: Mapping[str, Text],
    also: int = 0,
    levels: Collection[int] = LEVELS,
    must: Collection[str] = (),
) -> list[Question]:
    """The questions of a paper, in order; arguments as `Choice` has them.

    A skill gets its must-pass questions first, so one of them is on the paper when it has any: either free, or
    taken before by another skill. also: how many are added for each person, so that none need be chosen
    """
    chosen: dict[str, Question] = {}
    for question in (*questions, *must):
        if question not in bank:
            raise UnknownName(
                Text(en="There is no question %(given)s.", es="No existe la pregunta %(given)s."),
                given=repr(question),
            )
        chosen[question] = bank[question]
    for skill, count in skills.items():
        if count > 0:
            chosen.update(
                (question.id, question)
                for question in _of_skill(
                    bank, skill, count, chosen, source, names.get(skill, repr(skill)), levels
                )
            )
    if not chosen and not also:
        raise Refusal(
            Text(en="Choose at least one question or skill.", es="Elija al menos una pregunta o habilidad.")
        )
    if len(chosen) + also > MOST_QUESTIONS:
        raise Refusal(
            Text(
                en="%(given)s questions are too many for one paper; at most %(most)s are taken.",
                es="%(given)s preguntas son demasiadas para un examen; se aceptan como máximo %(most)s.",
            ),
            given=len(chosen) + also,
            most=MOST_QUESTIONS,
        )
    return [demanded(question, must) for question in chosen.values()]


def demanded(question: Question, must: Collection[str]) -> Question:
    """The question as this quiz asks it: one that the trainer chose as such must be right."""
    return replace(question, must_pass=True) if question.id in must else question


def chosen(
    bank: Mapping[str, Question],
    choice: Choice,
    source: random.Random,
    names: Mapping[str, Text],
    decides: bool,
) -> tuple[list[Question], int]:
    """(what everyone is asked, in order; how many of it in any case, where the quiz decides early). Refusal."""
    asked = choose(
        bank,
        choice.questions,
        choice.skills,
        source,
        names,
        also=choice.weakest,
        levels=choice.levels,
        must=choice.must,
    )
    return in_order(asked, source, choice.must) if decides else (asked, len(asked))


def drawn_for(
    people: Sequence[int],
    asked: Sequence[Question],
    choice: Choice,
    weak_in: Mapping[int, Sequence[str]],
    bank: Mapping[str, Question],
    standard: Mapping[str, Any],
    draw: Drawer,
    source: random.Random,
) -> Iterator[Drawn]:
    """Each person's paper in turn. weak_in: by person, the skills they are weakest in, in that order"""
    taken = {one.id for one in asked}
    together = draw_all(asked, standard, draw, source) if choice.same_numbers else None
    for person in people:
        if together is not None:
            yield together
            continue
        own = of_weakest(bank, weak_in.get(person, ()), choice.weakest, taken, source, choice.levels)
        yield draw_all([*asked, *own], standard, draw, source)


def _fits(question: Question, levels: Collection[int]) -> bool:
    """One that must be right is asked whatever its level: without it the paper would prove nothing."""
    return set(levels) == set(LEVELS) or question.must_pass or question.level in levels


def _of_skill(
    bank: Mapping[str, Question],
    skill: str,
    count: int,
    chosen: Collection[str],
    source: random.Random,
    named: Text | str,
    levels: Collection[int],
) -> list[Question]:
    all_of = [question for question in bank.values() if skill in question.skills and _fits(question, levels)]
    if not all_of:
        raise UnknownName(
            Text(
                en="No question of the bank is about the skill %(given)s.",
                es="Ninguna pregunta trata de la habilidad %(given)s.",
            ),
            given=repr(skill),
        )
    free = [question for question in all_of if question.id not in chosen]
    if len(free) < count:
        raise Refusal(
            Text(
                en="%(count)s questions of %(skill)s were asked for; there are %(free)s not on the paper yet.",
                es="Se pidieron %(count)s preguntas de %(skill)s; hay %(free)s que aún no están en el examen.",
            ),
            count=count,
            skill=named,
            free=len(free),
        )
    free.sort(key=lambda question: question.id)
    source.shuffle(free)
    free.sort(key=lambda question: not question.must_pass)
    return free[:count]


def draw_all(
    asked: Sequence[Question], standard: Mapping[str, Any], draw: Drawer, source: random.Random
) -> Drawn:
    """Each question drawn with a seed of its own."""
    seeds = [source.getrandbits(SEED_BITS) for _ in asked]
    return [(seed, draw(question, seed, standard)) for question, seed in zip(asked, seeds, strict=True)]


def rows_of(paper: Drawn) -> list[dict[str, Any]]:
    """The rows of a paper's questions."""
    return [
        {
            "position": position,
            "question": drawn.question_id,
            "version": drawn.version,
            "hash": drawn.hash,
            "seed": seed,
            "skills": list(drawn.skills),
            "must_pass": bool(drawn.must_pass),
            "draw": drawn.to_json(),
        }
        for position, (seed, drawn) in enumerate(paper, start=1)
    ]
