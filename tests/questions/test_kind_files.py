"""A mistake in a file of one of the newer kinds is told with its line and a sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from trainer.errors import ContentError
from trainer.paths import content_dir
from trainer.questions.bank import read_question
from trainer.questions.check import check_question

QUESTIONS = content_dir("question_bank") / "questions"
LINKED = QUESTIONS / "concrete" / "form-to-buckets.toml"
SEVERAL = QUESTIONS / "roof" / "stop-and-call.toml"
ORDER = QUESTIONS / "flue" / "flue-cut-order.toml"

# (file, text found, text put there, part of the line it is told on, part of the sentence)
MISTAKES = [
    (LINKED, 'id = "bags"', 'id = "volume"', 'id = "volume"', "two parts are called 'volume'"),
    (LINKED, 'kind = "linked"', 'kind = "linked"\nlayout = "grid"', "layout", "no layout 'grid'; there are steps, table"),
    (LINKED, 'id = "bags"', 'id = "bags"\nweight = 0', "weight", "a weight is a whole number of 1 or more"),
    (LINKED, 'id = "bags"', 'id = "bags"\nwieght = 2', "wieght", "no 'wieght' in [part 2]"),
    (LINKED, '"part:volume" }\n\n[[part]]', '"part:volum" }\n\n[[part]]', "part:volum", "there is no part 'volum'"),
    (LINKED, 'result = "bags"', 'result = "bag"', 'result = "bag"', "makes no number 'bag'"),
    (LINKED, 'tolerance = "2 %"', 'tolerance = "40 %"', "40 %", "a tolerance of 40 % cannot be"),
    (LINKED, 'es = "¿Cuántos pies', 'se = "¿Cuántos pies', "[[part]]", "part 1 has no Spanish text"),
    (LINKED, 'en = "How many bags is that', 'en = "How many {{ bag }} is that', "es =", "bag stands in one language only"),
    (LINKED, 'change = { overhang = "2 in" }', 'change = { overhung = "2 in" }', "overhung", "has no input 'overhung'"),
    (SEVERAL, 'en = "Moss grows', 'en = "Moss {{ x }} grows', "Moss", "{{ x }} has no value"),
    (SEVERAL, 'why = { en = "It shows', 'wy = { en = "It shows', "wy", "no 'wy' in [option 6]"),
    (SEVERAL, 'en = "Moss grows on the north side of the brick."', 'en = "The old crown has no overhang at all."', "overhang", "option 7 says the same"),
    (ORDER, 'id = "tap"', 'id = "plug"', 'id = "plug"', "two steps are called 'plug'"),
    (ORDER, 'id = "tap"', 'id = "T"', 'id = "T"', "reads like the letter of a step"),
    (ORDER, 'before = ["plug"]', 'before = ["plag"]', "plag", "no step 'plag'; there are off, plug"),
    (ORDER, 'step = "off"\nbefore = ["plug"]', 'step = "plug"\nbefore = ["off"]', 'before = ["off"]', "plug must come before off, but the steps"),
    (ORDER, 'step = "off"\nbefore = ["plug"]', 'step = "off"\nbefore = ["off"]', 'before = ["off"]', "off must come before off"),
    (ORDER, 'before = ["cut"]\nwhy = { en = "Slurry', 'before = ["cut", "cut"]\nwhy = { en = "Slurry', "[[rule]]", "that plug comes before cut is said twice"),
    (ORDER, 'en = "Without a line', 'en = "Without {{ a }} line', "Without", "{{ a }} has no value"),
]  # fmt: skip


def read(path: Path, text: str) -> tuple[object, list[ContentError]]:
    problems: list[ContentError] = []
    return read_question(path.stem, path.name, text.encode(), None, problems), problems


@pytest.mark.parametrize(("path", "before", "after", "on", "sentence"), MISTAKES)
def test_a_mistake_is_told_with_its_line(path: Path, before: str, after: str, on: str, sentence: str) -> None:
    text = path.read_text(encoding="utf-8")
    assert before in text
    text = text.replace(before, after, 1)
    question, problems = read(path, text)
    assert question is None
    found = [problem for problem in problems if sentence in problem.sentence]
    assert found, [str(problem) for problem in problems]
    assert on in text.splitlines()[found[0].line - 1]


def test_parts_that_are_not_linked() -> None:
    text = LINKED.read_text(encoding="utf-8").replace(
        'inputs = { volume = "part:volume" }', 'inputs = { volume = "4 ft3" }'
    )
    assert "no part takes the answer of a part above" in read(LINKED, text)[1][0].sentence


def test_too_few_parts_options_steps_and_rules() -> None:
    text = LINKED.read_text(encoding="utf-8").partition('[[part]]\nid = "bags"')[0]
    assert "2 to 8 parts; here there are 1" in str(read(LINKED, text)[1])
    text = SEVERAL.read_text(encoding="utf-8").replace("right = true\n", "", 3)
    assert "here 1 fit and 6 do not" in str(read(SEVERAL, text)[1])
    text = ORDER.read_text(encoding="utf-8")
    short = text.partition('[[step]]\nid = "mark"')[0] + "[[rule]]" + text.partition("[[rule]]")[2]
    assert "4 to 8 steps; here there are 3" in str(read(ORDER, short)[1])
    few = text.partition('[[rule]]\nstep = "plug"')[0]
    assert "at least 2 rules" in str(read(ORDER, few)[1])


def test_an_order_that_a_guess_gets_right_too_often() -> None:
    text = ORDER.read_text(encoding="utf-8")
    few = text.partition('[[rule]]\nstep = "mark"')[0]
    question, problems = read(ORDER, few)
    assert question is not None and problems == []
    found = check_question(question, 5)
    assert ["more than 1 in 20" in problem.sentence for problem in found] == [True]
    assert few.splitlines()[found[0].line - 1] == "[[rule]]"


# (text found, text put there, part of the line it is told on, part of the sentence)
FAULTS = [
    ('change = { overhang = "2 in" }', 'change = { overhang = "1/16 in" }', 'tolerance = "2 %"', "the tolerance swallows the slip overhang-again"),
    ('change = { overhang = "2 in" }', 'change = { overhang = "0 in" }', "[[part.slip]]", "the slip overhang-again never has a value"),
    ('"given:form_length", chimney_width = "given:form_width"', '"40 in", chimney_width = "31 in", edge_thickness = "4 in"', "[part.answer]", "the answer does not depend on the givens"),
    ('en = "How many bags is that', 'en = "Is None', "en =", "a place that was not filled"),
]  # fmt: skip


@pytest.mark.parametrize(("before", "after", "on", "sentence"), FAULTS)
def test_what_drawing_a_part_shows_is_told_at_that_part(
    before: str, after: str, on: str, sentence: str
) -> None:
    text = LINKED.read_text(encoding="utf-8")
    assert before in text
    text = text.replace(before, after, 1)
    question, problems = read(LINKED, text)
    assert question is not None, problems
    found = [problem for problem in check_question(question, 60) if sentence in problem.sentence]
    assert found, [str(problem) for problem in check_question(question, 60)]
    assert on in text.splitlines()[found[0].line - 1]
