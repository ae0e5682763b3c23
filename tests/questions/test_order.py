"""Steps in order: every order that keeps the rules is right; a broken rule is named; a random order earns little."""

from __future__ import annotations

import json
from itertools import permutations

import pytest

from tests.shipped import shipped_bank
from trainer.questions import Draw, draw, grade
from trainer.questions.kinds.order import broken, credit, right_orders

SEEDS = range(200)
SHIPPED = shipped_bank()
QUESTIONS = [id for id, question in SHIPPED.questions.items() if question.kind == "order"]


def pairs_of(id: str) -> tuple[list[str], list[tuple[str, str]]]:
    order = SHIPPED.questions[id].body
    return [step.id for step in order.steps], order.pairs


@pytest.mark.parametrize("id", QUESTIONS)
def test_every_order_that_keeps_the_rules_is_right_and_no_other(id: str) -> None:
    """Each of all orders is held against the rules here; as many are right as the counting by sets says."""
    ids, pairs = pairs_of(id)
    drawn = draw(SHIPPED.questions[id], 0)
    letter = {step.id: step.letter for step in drawn.body.steps}
    kept = 0
    count, before, after = 0, 0.0, 0.0
    for order in permutations(ids):
        keeps = all(order.index(first) < order.index(then) for first, then in pairs)
        count += 1
        kept += keeps
        earned = credit(len(pairs) - len(broken(order, pairs)), len(pairs))
        before, after = before + earned, after + max(0.0, earned)
        if keeps or count % 97 == 0:
            assert grade(drawn, ", ".join(letter[one] for one in order)).right is keeps
    assert kept == right_orders(ids, pairs) > 0
    # Each rule is kept in half of all orders, so a random one earns 3 · 1/2 − 2 before the cut at 0.
    assert before / count == pytest.approx(-0.5)
    assert after / count <= 0.1


@pytest.mark.parametrize("id", QUESTIONS)
def test_two_neighbours_swapped(id: str) -> None:
    """Swapping two neighbours breaks the rule between them, which is named with its reason, or none at all."""
    ids, pairs = pairs_of(id)
    reasons = {(rule.first, rule.then): rule.why for rule in SHIPPED.questions[id].body.rules}
    for seed in SEEDS:
        drawn = draw(SHIPPED.questions[id], seed)
        letter = {step.id: step.letter for step in drawn.body.steps}
        assert grade(drawn, "".join(letter[one] for one in ids)).right
        assert grade(drawn, drawn.answer("es"), "es").right
        place = seed % (len(ids) - 1)
        moved = list(ids)
        moved[place], moved[place + 1] = moved[place + 1], moved[place]
        rule = (ids[place], ids[place + 1])
        for language in ("en", "es"):
            graded = grade(drawn, " ".join(letter[one] for one in moved), language)
            wrong = [part for part in graded.parts if part.state == "wrong"]
            if rule not in reasons:
                assert graded.right and not wrong
                continue
            assert graded.status == "wrong" and graded.slip == f"{rule[0]}-before-{rule[1]}"
            assert [part.said for part in wrong] == [reasons[rule].in_language(language)]
            assert graded.credit == pytest.approx(max(0.0, 1 - 3 / len(pairs)))


@pytest.mark.parametrize("id", QUESTIONS)
def test_the_steps_never_stand_in_a_right_order(id: str) -> None:
    shown = set()
    for seed in SEEDS:
        drawn = draw(SHIPPED.questions[id], seed)
        assert [step.letter for step in drawn.body.steps] == list("ABCDEFGH"[: len(drawn.body.steps)])
        assert grade(drawn, drawn.body.mistaken()).status == "wrong"
        shown.add(tuple(step.id for step in drawn.body.steps))
    assert len(shown) > 150


def test_each_step_must_stand_there_once() -> None:
    drawn = draw(SHIPPED.questions["flue-cut-order"], 0)
    assert "missing" in grade(drawn, "A, B, C, D, E, F").refusal and "G" in grade(drawn, "ABCDEF").refusal
    assert grade(drawn, "A, B, C, D, E, F", "es").refusal == "Ponga cada paso una vez; falta G."
    for typed in ("", "ABCDEFGG", "1 2 3", "ABCDEFGH"):
        assert grade(drawn, typed).status == "unreadable"


def test_a_draw_goes_to_json_and_back() -> None:
    for id in QUESTIONS:
        drawn = draw(SHIPPED.questions[id], 3)
        again = Draw.from_json(json.loads(json.dumps(drawn.to_json())))
        assert again == drawn
        assert grade(again, drawn.body.mistaken()) == grade(drawn, drawn.body.mistaken())


@pytest.mark.parametrize(
    ("steps", "pairs", "count"),
    [
        ("abcd", [], 24),
        ("abcd", [("a", "b")], 12),
        ("abcd", [("a", "b"), ("b", "c"), ("c", "d")], 1),
        ("abcd", [("a", "c"), ("b", "c"), ("c", "d")], 2),
        ("abc", [("a", "b"), ("b", "c"), ("c", "a")], 0),
    ],
)
def test_right_orders_by_hand(steps: str, pairs: list[tuple[str, str]], count: int) -> None:
    assert right_orders(list(steps), pairs) == count
