"""The closed papers behind the evidence, by person."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Collection, Iterable, Mapping
from dataclasses import replace
from itertools import groupby
from operator import itemgetter
from typing import Any

from sqlalchemy import Connection, Text, cast, or_, select

from trainer.clearance import GradeChangeEvidence, PaperEvidence, Sheet
from trainer.clearance.memo import Memo
from trainer.records import paper_sheets
from trainer.records.as_stored import Times, only, raw, rows_of
from trainer.records.deciding import DECIDED, least_right
from trainer.records.models import GradeChange, Paper, PaperQuestion, Quiz


class Papers:
    """Everyone's papers, or those of some."""

    def __init__(self, connection: Connection, times: Times, people: Collection[int] | None) -> None:
        self.connection, self.times, self.people = connection, times, people
        self.deciding = Memo(_terms)

    def by_person(self) -> dict[int, list[PaperEvidence]]:
        """Closed papers: one statement, a row for each, and one more for each further change of a grade."""
        changes = (
            select(
                PaperQuestion.paper_id,
                PaperQuestion.position,
                GradeChange.id,
                raw(GradeChange.at).label("at"),
                GradeChange.after,
                GradeChange.by_id,
                GradeChange.left_out,
            )
            .join(PaperQuestion, PaperQuestion.id == GradeChange.paper_question_id)
            .subquery()
        )
        rows = rows_of(
            self.connection,
            select(
                Paper.id,
                Paper.person_id,
                Quiz.title,
                Quiz.by_id,
                raw(Paper.closed_at),
                Paper.sheet,
                Paper.closed_how,
                Quiz.pass_mark,
                cast(Quiz.deciding, Text),
                changes.c.position,
                changes.c.at,
                changes.c.after,
                changes.c.by_id,
                changes.c.left_out,
                changes.c.id,
            )
            .join(Quiz, Quiz.id == Paper.quiz_id)
            .outerjoin(changes, changes.c.paper_id == Paper.id)
            # A paper taken back before it was opened was never sat; it says nothing of the person.
            .where(
                Paper.closed_at.is_not(None),
                or_(Paper.closed_how.is_distinct_from("taken back"), Paper.opened_at.is_not(None)),
                only(Paper.person_id, self.people),
            )
            .order_by(Paper.id),  # as they lie; the few changes are put in order below
        )
        found: dict[int, list[PaperEvidence]] = defaultdict(list)
        day, moment = self.times.day, self.times.moment
        for paper, of_paper in groupby(rows, key=itemgetter(0)):
            first, *more = of_paper
            _, person, title, by_id, closed, text, how, mark, deciding, position, *_ = first
            sheet = paper_sheets.read(text)
            if position is not None:
                sheet = self._changed(sheet, (first, *more))
            evidence = PaperEvidence(paper, title, by_id, day(closed), sheet, moment(closed))
            if deciding is not None:
                evidence = _decides(evidence, how, mark, self.deciding[deciding])
            found[person].append(evidence)
        return found

    def _changed(self, sheet: Sheet, rows: Iterable[Any]) -> Sheet:
        """The answers with the changes of their grades, in the order they were made."""
        changes: dict[int, list[GradeChangeEvidence]] = defaultdict(list)
        for position, at, after, by_id, left_out, _ in (row[9:] for row in sorted(rows, key=itemgetter(14))):
            changes[position].append(GradeChangeEvidence(self.times.day(at), after, by_id, bool(left_out)))
        return Sheet(
            [replace(one, changes=tuple(changes[position])) for position, one in enumerate(sheet, start=1)]
        )


def _terms(text: str) -> Mapping[str, Any]:
    """The terms of a quiz that decides early; what cannot be read is no terms, and decides nothing."""
    try:
        found = json.loads(text)
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def _decides(
    evidence: PaperEvidence, how: str | None, mark: int, deciding: Mapping[str, Any]
) -> PaperEvidence:
    """The same paper with what it takes to be clear. Only one that ended as decided leaves out what it did not ask."""
    answers = evidence.answers
    if how == DECIDED:
        answers = Sheet([replace(one, asked=one.given) for one in answers])
    least = least_right(deciding, sum(one.asked for one in answers))
    return evidence._replace(answers=answers, least_right=least, mark=mark)
