"""Practice: right and wrong answers, the slip's name, the working, another one. It never counts."""

from __future__ import annotations

import re

import pytest

from trainer.calc import DEFAULT_SHOP
from trainer.questions import draw
from trainer.questions.writing import written

# The long side of this draw is 49 1/2 in with 2 1/2 in of overhang on every side: 49 1/2 + 2 × 2 1/2 = 54 1/2 in.
SLAB = "/practice/crown-slab-length/5"


@pytest.fixture
def hire(sign_in, people):
    return sign_in(people.apprentice)


def answers(store):
    with store.engine.connect() as connection:
        rows = connection.exec_driver_sql("SELECT typed, right, slip FROM practice_answer ORDER BY id").all()
    return [(typed, bool(right), slip) for typed, right, slip in rows]


def test_every_question_of_the_bank_is_offered_once(hire, bank):
    links = [link["href"] for link in hire.get("/practice").soup.select("ul.list a")]
    assert sorted(links) == sorted(f"/practice/{id}" for id in bank.questions)


def test_each_question_has_words_of_its_own_under_its_skill(hire):
    page = hire.get("/practice")
    for section in page.soup.select("main section"):
        titles = [link.get_text(strip=True) for link in section.select("ul.list a")]
        assert titles and len(set(titles)) == len(titles), section.h2


def test_a_fresh_draw_has_its_own_address(hire):
    first, second = hire.get("/practice/crown-slab-length"), hire.get("/practice/crown-slab-length")
    assert re.fullmatch(r"/practice/crown-slab-length/\d+", first.path)
    assert first.path != second.path and hire.get(first.path).text == first.text


def test_the_question_shows_its_drawing_without_the_answer(hire):
    soup = hire.get(SLAB).soup
    assert soup.select_one(".q-text") and soup.select_one("figure.drawing svg desc")
    assert (
        "54 1/2" not in soup.select_one("main").get_text()
        and "49 1/2 in" in soup.select_one("main").get_text()
    )
    assert soup.select_one(".unit").get_text(strip=True) == "in"


@pytest.mark.parametrize("typed", ["54 1/2", "54.5 in", "4 ft 6 1/2 in", "4' 6½\"", "4 pies 6 1/2 pulg"])
def test_a_right_answer_however_the_trade_writes_it(hire, store, typed):
    page = hire.submit(SLAB, {"answer": typed})
    assert (
        page.status == 200 and page.soup.select_one(".result-right h2").get_text(" ", strip=True) == "✓ Right"
    )
    assert answers(store) == [(typed, True, None)]
    assert page.soup.select("ol.working li")


def test_a_wrong_answer_names_the_slip_and_shows_the_working(hire, store):
    # Overhang counted on one side only: 49 1/2 + 2 1/2 = 52 in.
    page = hire.submit(SLAB, {"answer": "52 in"})
    result = page.soup.select_one(".result-wrong")
    assert "✗ Not right" in result.get_text(" ", strip=True)
    assert "What went wrong:" in result.select_one(".slip").get_text()
    assert [one.get_text(strip=True) for one in result.select("dd")] == ["52 in", "54 1/2 in"]
    assert "2 1/2 in short" in result.select_one(".consequence").get_text()
    assert page.soup.select_one("details.working").has_attr("open")
    assert "54 1/2 in" in page.soup.select_one("ol.working").get_text()
    assert answers(store) == [("52 in", False, "one-side-overhang")]


def test_every_listed_slip_of_the_question_is_named(hire, bank):
    drawn = draw(bank.questions["crown-slab-length"], 5, DEFAULT_SHOP)
    listed = [slip for slip in drawn.body.slips if slip.text.en]
    assert listed
    for slip in listed:
        page = hire.submit(SLAB, {"answer": written(slip.value, drawn.body.unit).en})
        assert slip.text.en in page.text, slip.id


def test_what_cannot_be_read_is_not_wrong_and_stays(hire, store):
    page = hire.submit(SLAB, {"answer": "3,5"})
    assert page.status == 200 and not page.soup.select(".result")
    assert "comma" in page.soup.select_one(".field-wrong .error").get_text()
    assert page.soup.select_one("#answer")["value"] == "3,5" and answers(store) == []


@pytest.mark.parametrize("typed", ["", "   "])
def test_an_empty_answer(hire, store, typed):
    page = hire.submit(SLAB, {"answer": typed})
    assert page.soup.select_one(".error").get_text(strip=True) == "Fill this in." and answers(store) == []


def test_a_choice_right_and_wrong(hire, store, bank):
    path = "/practice/why-the-gap/5"
    options = draw(bank.questions["why-the-gap"], 5, DEFAULT_SHOP).body.options
    right = next(option for option in options if option.right)
    wrong = next(option for option in options if not option.right)
    page = hire.submit(path, {"answer": wrong.letter})
    assert "✗ Not right" in page.text and wrong.why.en in page.text and right.text.en in page.text
    page = hire.submit(path, {"answer": right.letter})
    assert "✓ Right" in page.text and bank.questions["why-the-gap"].body.because.en in page.text
    assert hire.submit(path, {"answer": "Z"}).soup.select(".error")
    assert [right for _, right, _ in answers(store)] == [False, True]


def test_sending_the_same_form_twice_stores_one_answer(hire, store):
    form = hire.get(SLAB).soup.select_one("main form")
    fields = {"answer": "52", "form_token": form.select_one("[name=form_token]")["value"]}
    assert hire.post(SLAB, fields).status == hire.post(SLAB, fields).status == 200
    assert len(answers(store)) == 1


def test_another_one_and_the_lesson_are_a_tap_away(hire):
    page = hire.submit(SLAB, {"answer": "54 1/2"})
    links = {link["href"] for link in page.soup.select(".actions a")}
    assert links == {"/practice/crown-slab-length", "/lessons/crown-geometry", "/practice", "/today"}
    assert all(hire.get(link).status == 200 for link in links)


def test_the_list_counts_ones_own_tries_and_no_clearance_moves(hire, people, sign_in):
    hire.submit(SLAB, {"answer": "52"})
    hire.submit(SLAB, {"answer": "54 1/2"})
    assert "1 of 2 right" in hire.get("/practice").text
    assert "of 2 right" not in sign_in(people.second).get("/practice").text
    told = (
        sign_in(people.owner).get("/history", person=str(people.apprentice.id)).soup.select_one("main table")
    )
    assert "lesson read" not in told.get_text(" ").lower()


def test_in_spanish_with_the_same_numbers(sign_in, people):
    page = sign_in(people.apprentice, "es").get(SLAB)
    assert "49 1/2" in page.text and "How long" not in page.text and page.soup.html["lang"] == "es"


@pytest.mark.parametrize(
    "path", ["/practice/the-moon", "/practice/the-moon/1", "/practice/crown-slab-length/x"]
)
def test_a_question_that_does_not_exist(hire, path):
    assert hire.get(path).status == 404


def test_every_question_can_be_practised_in_both_languages(sign_in, people, bank, acts):
    for language in ("en", "es"):
        browser = sign_in(people.apprentice, language)
        for id, question in bank.questions.items():
            drawn = draw(question, 7, DEFAULT_SHOP)
            page = browser.submit(f"/practice/{id}/7", acts.fields(drawn, acts.right(drawn)))
            assert page.soup.select(".result-right"), f"{id} in {language}: {page.text[:300]}"


def test_statements(hire, count_statements, crowd):
    crowd(36)
    for path in ("/practice", SLAB):
        hire.get(path)
        with count_statements() as seen:
            hire.get(path)
        assert 0 < len(seen) <= 20
    token = hire.token()
    with count_statements() as seen:
        hire.client.post(SLAB, data={"answer": "52", "csrf_token": token, "form_token": "once"})
    assert any("INSERT" in one for one in seen) and len(seen) <= 20


def test_the_same_form_with_another_answer_is_said_and_counts_when_sent_once_more(hire, store):
    page = hire.get(SLAB)
    fields = {item["name"]: item.get("value", "") for item in page.soup.select("main form input[name]")}
    hire.client.post(SLAB, data=fields | {"answer": "52 in"})
    again = hire._page(hire.client.post(SLAB, data=fields | {"answer": "54 1/2 in"}))
    assert len(answers(store)) == 1 and not again.soup.select(".result-right, .result-wrong, ol.working")
    assert "This form was sent once before with other content" in again.text
    assert again.soup.select_one("#answer")["value"] == "54 1/2 in"
    fresh = {item["name"]: item.get("value", "") for item in again.soup.select("main form input[name]")}
    assert hire._page(hire.client.post(SLAB, data=fresh)).soup.select_one(".result-right")
    assert [typed for typed, *_ in answers(store)] == ["52 in", "54 1/2 in"]


def test_the_same_form_with_the_same_answer_counts_once(hire, store):
    page = hire.get(SLAB)
    fields = {item["name"]: item.get("value", "") for item in page.soup.select("main form input[name]")}
    for _time in range(2):
        answer = hire._page(hire.client.post(SLAB, data=fields | {"answer": "52 in"}))
        assert answer.soup.select_one(".result-wrong")
    assert len(answers(store)) == 1
