"""Find the faults on a page: numbers on the drawing and boxes in a list, without a script; what is told afterwards."""

from __future__ import annotations

import re

import pytest

from tests.shipped import shipped_bank
from trainer.calc import DEFAULT_SHOP
from trainer.questions import Draw, draw
from trainer.records import papers, queries, quizzes

BANK = shipped_bank()
ID = "look-it-over"


def drawn_with(faults):
    return next(
        drawn
        for seed in range(200)
        if len((drawn := draw(BANK.questions[ID], seed, DEFAULT_SHOP)).body.faulty) == faults
    )


@pytest.fixture
def hire(sign_in, people):
    return sign_in(people.apprentice)


def address(drawn):
    return f"/practice/{ID}/{drawn.seed}"


def answers(store):
    with store.engine.connect() as connection:
        rows = connection.exec_driver_sql("SELECT typed, right, credit, slip FROM practice_answer").all()
    return [(typed, bool(right), credit, slip) for typed, right, credit, slip in rows]


def test_every_number_on_the_drawing_belongs_to_a_box_of_the_list(hire):
    drawn = drawn_with(2)
    soup = hire.get(address(drawn)).soup
    boxes = soup.select("fieldset input[type=checkbox]")
    assert [box["value"] for box in boxes] == [*(str(mark.number) for mark in drawn.body.marks), "none"]
    ids = {box["id"]: box["value"] for box in boxes}
    taps = soup.select("svg.taps label")
    assert [ids[tap["for"]] for tap in taps] == [str(mark.number) for mark in drawn.body.marks]
    # The labels lie where the drawing has its numbers: the same view box, each middle on its number.
    drawing = soup.select_one("svg.drawing")
    assert soup.select_one("svg.taps")["viewbox"] == drawing["viewbox"]
    numbers = {
        text.get_text(): (float(text["x"]), float(text["y"]))
        for text in drawing.select("text[text-anchor=middle]")
        if re.fullmatch(r"\d+", text.get_text())
    }
    for tap in taps:
        place = tap.parent
        middle = [
            float(place[axis]) + float(place[size]) / 2 for axis, size in (("x", "width"), ("y", "height"))
        ]
        x, y = numbers[ids[tap["for"]]]
        assert middle == pytest.approx([x, y - 4.3], abs=0.2)


def test_the_page_has_no_inline_style_or_script(hire):
    soup = hire.get(address(drawn_with(2))).soup
    assert not soup.select("[style], style, script:not([src]), [onclick]")


def test_whoever_cannot_see_is_told_what_is_seen_and_not_what_is_wrong(hire):
    drawn = drawn_with(2)
    page = hire.get(address(drawn))
    for box in page.soup.select("fieldset input[type=checkbox]")[:-1]:
        mark = drawn.body.marks[int(box["value"]) - 1]
        said = page.soup.find(id=box["aria-describedby"]).get_text(strip=True)
        assert said == mark.seen.en
        assert page.soup.find("label", attrs={"for": box["id"]}) is not None
    for mark in drawn.body.marks:
        if mark.called is not None:
            assert mark.called.en not in page.html


def test_the_right_places_are_right(hire, store):
    drawn = drawn_with(2)
    page = hire.submit(address(drawn), {"answer": [str(number) for number in drawn.body.faulty]})
    assert page.soup.select_one(".result-right")
    assert len(page.soup.select(".result .state-good")) == 3  # right, and each fault found
    assert 'class="ring"' in page.html
    assert answers(store) == [(drawn.answer(), True, 1.0, None)]


def test_a_miss_and_a_false_alarm_are_both_told(hire, store):
    drawn = drawn_with(2)
    one, other = drawn.body.faulty
    sound = next(mark for mark in drawn.body.marks if not mark.fault)
    page = hire.submit(address(drawn), {"answer": [str(one), str(sound.number)]})
    result = page.soup.select_one(".result-wrong").get_text(" ", strip=True)
    missed = drawn.body.marks[other - 1]
    assert "found" in result and "missed" in result and "no fault" in result
    assert missed.matters.en in result and missed.do.en in result and sound.seen.en in result
    assert answers(store)[0][1:] == (False, 0.0, missed.fault)
    half = hire.submit(address(drawn), {"answer": [str(one)]})
    assert "Partly right" in half.text


def test_none_is_an_answer_of_its_own(hire):
    sound = drawn_with(0)
    assert hire.submit(address(sound), {"answer": ["none"]}).soup.select_one(".result-right")
    both = hire.submit(address(sound), {"answer": ["none", "2"]})
    assert "cannot both stand" in both.text and not both.soup.select_one(".result")
    assert both.soup.select_one("#answer-1").has_attr("checked")  # what was ticked stays
    nothing = hire.submit(address(sound), {})
    assert nothing.soup.select_one(".field-wrong .error")


def test_in_spanish(sign_in, people):
    drawn = drawn_with(2)
    page = sign_in(people.apprentice, "es").get(address(drawn))
    assert all(mark.name.es in page.text for mark in drawn.body.marks)
    assert "ninguna" in page.text and "la cara por fuera" in page.html
    assert not re.search(r"\b(the|Tap|places)\b", page.soup.select_one("main").get_text())


def test_a_paper_and_its_review_tell_misses_and_false_alarms(sign_in, store, people, clock):
    with store.write() as session:
        (paper,) = quizzes.assign(
            session,
            people.trainer,
            clock.now,
            title="Survey",
            people=[people.apprentice.id],
            questions=[ID],
            pass_mark=60,
            due=None,
            same_numbers=True,
            bank=BANK.questions,
            draw=draw,
            token="one quiz",
            seed=drawn_with(2).seed,
        ).papers
    hire = sign_in(people.apprentice)
    with store.write() as session:
        papers.open_paper(session, people.apprentice, clock.now, paper)
    with store.read() as session:
        drawn = Draw.from_json(queries.paper(session, people.owner, paper).questions[0].draw)
    one, *others = drawn.body.faulty or (1,)
    sound = next(mark for mark in drawn.body.marks if not mark.fault)
    hire.submit(f"/papers/{paper}/1", {"answer": [str(one), str(sound.number)]})
    for page in (hire.get(f"/papers/{paper}"), sign_in(people.trainer).get(f"/review/{paper}")):
        text = page.text
        assert sound.seen.en in text and "no fault" in text
        assert all(drawn.body.marks[other - 1].called.en in text for other in others)
        assert not page.soup.select("svg.taps")
