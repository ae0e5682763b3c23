"""The shop's own questions through the store: drawn, frozen, answered, graded, counted toward its clearances."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from trainer.errors import Unreadable
from trainer.paths import content_dir
from trainer.questions import Bank, Draw, draw, load_bank
from trainer.records import papers, queries, quizzes


@pytest.fixture(scope="module")
def real_bank() -> Bank:
    return load_bank(content_dir("question_bank"))


MOST_ON_A_PAPER = 100


def test_every_question_is_frozen_and_its_own_answer_is_graded_right(
    shop: Any, shop_people: Any, real_bank: Bank
) -> None:
    ids = list(real_bank.questions)
    for first in range(0, len(ids), MOST_ON_A_PAPER):
        _sit_all(shop, shop_people, real_bank, ids[first : first + MOST_ON_A_PAPER])


def _sit_all(shop: Any, shop_people: Any, real_bank: Bank, ids: list[str]) -> None:
    with shop.store.write() as session:
        paper = quizzes.assign(
            session,
            shop_people.trainer,
            shop.now,
            title="Everything",
            people=[shop_people.apprentice.id],
            questions=ids,
            pass_mark=80,
            due=shop.now + timedelta(days=1),
            same_numbers=False,
            bank=real_bank.questions,
            draw=draw,
            token=f"all from {ids[0]}",
        ).papers[0]
    with shop.store.read() as session:
        asked = queries.paper(session, shop_people.trainer, paper).questions
    assert len(asked) == len(ids)
    with pytest.raises(Unreadable), shop.store.write() as session:
        papers.answer(
            session,
            shop_people.apprentice,
            shop.now,
            paper_id=paper,
            position=1,
            typed="a good deal",
            token=f"bad {ids[0]}",
        )
    for one in asked:
        frozen = Draw.from_json(one.draw)
        right = frozen.answer()
        with shop.store.write() as session:
            given = papers.answer(
                session,
                shop_people.apprentice,
                shop.now,
                paper_id=paper,
                position=one.position,
                typed=right,
                token=f"form {one.question}",
            )
        assert given.right and given.credit == 1.0, (one.question, right, given)
    with shop.store.read() as session:
        row = queries.paper(session, shop_people.apprentice, paper).row
    assert (row.percent, row.passed, row.state) == (100, True, "handed in")
