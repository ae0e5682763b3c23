"""The marks of a closed paper in one text, kept with the paper: whoever reads everyone's papers reads a row for each.

Which questions they were for is left out, so that papers marked alike have one and the same text.

It is a copy. What it was made from never changes once the paper is closed; `apart` finds a copy that is not true.
Grade changes come later and stand on their own.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from datetime import datetime
from functools import lru_cache
from itertools import groupby
from typing import Any

from sqlalchemy import Text, cast, select
from sqlalchemy.orm import Session

from trainer.clearance import AnswerEvidence, Sheet
from trainer.records.models import Answer, Paper, PaperQuestion, Quiz

BATCH = 1000


def close(session: Session, paper: Paper, now: datetime, how: str) -> None:
    """Close the paper as it stands, with the copy of its marks."""
    session.flush()  # the last answer may not be in the store yet
    rows = session.execute(_asked().where(Paper.id == paper.id).order_by(PaperQuestion.position))
    paper.closed_at, paper.closed_how, paper.sheet = now, how, sheet_of(row[2:] for row in rows)


@lru_cache(maxsize=5000)  # a shop's papers are marked in not many more ways
def read(sheet: str) -> Sheet:
    """One answer for each question, in their order."""
    return Sheet([_answer(line) for line in sheet.splitlines()])


@lru_cache(maxsize=5000)
def _answer(line: str) -> AnswerEvidence:
    skills, must_pass, chosen, credit, right = json.loads(line)
    return AnswerEvidence(
        tuple(skills), must_pass, credit or 0.0, bool(right), given=credit is not None, chosen=chosen
    )


def apart(session: Session) -> Iterator[int]:
    """The closed papers whose copy is not what their questions and answers say."""
    rows = session.execute(
        _asked()
        .where(Paper.closed_at.is_not(None))
        .order_by(Paper.id, PaperQuestion.position)
        .execution_options(yield_per=BATCH)
    )
    for (paper, sheet), of_paper in groupby(rows, key=lambda row: tuple(row[:2])):
        if sheet != sheet_of(row[2:] for row in of_paper if row[2] is not None):
            yield paper


def _asked() -> Any:
    """Paper, its copy, and what `sheet_of` makes it from: a row for each question, one without for a paper without any."""
    return (
        select(
            Paper.id,
            Paper.sheet,
            cast(PaperQuestion.skills, Text),
            PaperQuestion.must_pass,
            PaperQuestion.question,
            cast(Quiz.spec, Text),
            Answer.credit,
            Answer.right,
        )
        .join(Quiz, Quiz.id == Paper.quiz_id)
        .outerjoin(PaperQuestion, PaperQuestion.paper_id == Paper.id)
        .outerjoin(Answer, Answer.paper_question_id == PaperQuestion.id)
    )


def sheet_of(rows: Iterable[Any]) -> str:
    """A line for each question in its order: skills, whether it must be right and whether only because the trainer chose so,
    credit, whether right; null: no answer.

    rows: (skills, must_pass, question, what the quiz asks, credit, right)
    """
    return "\n".join(
        json.dumps(
            [
                _parsed(skills),
                bool(must_pass),
                question in _chosen(spec),
                credit,
                None if right is None else bool(right),
            ]
        )
        for skills, must_pass, question, spec, credit, right in rows
    )


@lru_cache(maxsize=1000)
def _chosen(spec: str) -> frozenset[str]:
    """The questions that must be right because the trainer of the quiz chose so."""
    asked = _parsed(spec)
    return frozenset(asked.get("must", ()) if isinstance(asked, dict) else ())


def _parsed(text: str) -> Any:
    try:
        return json.loads(text)
    except ValueError:
        return text
