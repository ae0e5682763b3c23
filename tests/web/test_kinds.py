"""Every kind of question on the page: practised, kept on a paper after its reading was shown, and reviewed."""

from __future__ import annotations

import pytest

from trainer.calc import DEFAULT_SHOP
from trainer.paths import content_dir
from trainer.questions import draw
from trainer.questions.kinds import KINDS
from trainer.web.forms.answers import ANSWERING

BUCKETS, STOP, FLUE = "form-to-buckets", "stop-and-call", "flue-cut-order"
SEED = 3


@pytest.fixture
def hire(sign_in, people):
    return sign_in(people.apprentice)


@pytest.fixture
def drawn(bank):
    return {id: draw(bank.questions[id], SEED, DEFAULT_SHOP) for id in (BUCKETS, STOP, FLUE)}


def practised(store):
    with store.engine.connect() as connection:
        rows = connection.exec_driver_sql(
            "SELECT typed, right, credit FROM practice_answer ORDER BY id"
        ).all()
    return [(typed, bool(right), round(credit, 3)) for typed, right, credit in rows]


def stored(store):
    with store.engine.connect() as connection:
        rows = connection.exec_driver_sql("SELECT typed, shown, right, credit FROM answer ORDER BY id").all()
    return [(typed, shown, bool(right), round(credit, 3)) for typed, shown, right, credit in rows]


def text(found):
    return found.get_text(" ", strip=True)


# Linked numbers


def test_an_earlier_wrong_value_is_carried_and_the_page_says_so(hire, store, drawn):
    """Seed 3: the form is 47 x 34 x 4 in, 3.699 ft³; 5 %, 0.45 ft³ a bag, 45 lb a load. Twice the volume gives
    7.398 × 1.05 ÷ 0.45 = 17.3, so 18 bags, and 7.398 ÷ (43 ÷ 145) = 24.9, so 25 trips."""
    page = hire.submit(f"/practice/{BUCKETS}/{SEED}", {"part_0": "7.398", "part_1": "18", "part_2": "25"})
    assert "Partly right: counts 67 %" in page.text.replace("\xa0", " ")
    rows = [text(row) for row in page.soup.select(".parts tbody tr")]
    assert [("not right" in row, "right from your own figure" in row) for row in rows] == [
        (True, False),
        (False, True),
        (False, True),
    ]
    said = [text(one) for one in page.soup.select(".parts .slip")]
    assert len(said) == 2 and all("your own figure above, so it earns its credit" in one for one in said)
    assert said[0].endswith("it would be 9.") and said[1].endswith("it would be 13.")
    assert practised(store) == [("7.398\n18\n25", False, 0.667)]
    titles = [text(title) for title in page.soup.select("details.working h4")]
    assert titles == [part.text.en for part in drawn[BUCKETS].body.parts]


def test_only_the_part_that_cannot_be_read_is_asked_again(hire, store):
    page = hire.submit(f"/practice/{BUCKETS}/{SEED}", {"part_0": "3.7", "part_1": "a lot", "part_2": "13"})
    assert [box["id"] for box in page.soup.select("[aria-invalid=true]")] == ["part_1"]
    assert [page.soup.select_one(f"#part_{place}")["value"] for place in range(3)] == ["3.7", "a lot", "13"]
    assert "does not begin with a number" in text(page.soup.select_one("#part_1-error"))
    assert practised(store) == []
    page = hire.submit(f"/practice/{BUCKETS}/{SEED}", {"part_0": "3.7", "part_1": "", "part_2": "13"})
    assert text(page.soup.select_one("#part_1-error")) == "Fill this in." and practised(store) == []


def test_a_take_off_is_a_table_of_items(hire, bank):
    soup = hire.get(f"/practice/take-off-one-tile/{SEED}").soup
    assert [text(head) for head in soup.select(".take-off thead th")] == ["Item", "Quantity", "Unit"]
    assert [text(cell) for cell in soup.select(".take-off .unit")] == ["in", "in", "ft", "ft³", ""]
    for row in soup.select(".take-off tbody tr"):
        assert row.select_one("label")["for"] == row.select_one("input")["id"]
    assert soup.select("figure.drawing svg")


# Several that fit


def test_every_option_says_why(hire, store, drawn):
    options = drawn[STOP].body.options
    right = [option.letter for option in options if option.right]
    page = hire.submit(f"/practice/{STOP}/{SEED}", {"answer": right})
    assert "✓ Right" in text(page.soup.select_one(".result-right h2"))
    wrong = next(option for option in options if not option.right)
    page = hire.submit(f"/practice/{STOP}/{SEED}", {"answer": [*right[1:], wrong.letter]})
    said = [text(item) for item in page.soup.select(".told > li")]
    assert len(said) == len(options)
    for item, option in zip(said, options, strict=True):
        assert option.text.en in item and option.why.en in item
    assert sum("fits, not marked" in item for item in said) == 1
    assert sum("does not fit, marked" in item for item in said) == 1
    # Three of four that fit and one of three that do not: 2 · (3/4 − 1/3) − 1 is under 0.
    assert practised(store) == [
        (", ".join(right), True, 1.0),
        (", ".join([*right[1:], wrong.letter]), False, 0.0),
    ]
    assert hire.submit(f"/practice/{STOP}/{SEED}", {}).soup.select(".error")


# Steps in order


def places(letters):
    return {f"place_{letter}": str(place) for place, letter in enumerate(letters, start=1)}


def test_a_broken_rule_is_named_with_its_reason(hire, store, drawn):
    body = drawn[FLUE].body
    letters = [body.step(id).letter for id in body.order]
    page = hire.submit(f"/practice/{FLUE}/{SEED}", places(letters))
    assert "✓ Right" in text(page.soup.select_one("h2"))
    letters[0], letters[1] = letters[1], letters[0]  # the plug before the appliance is off
    page = hire.submit(f"/practice/{FLUE}/{SEED}", places(letters))
    (slip,) = page.soup.select(".result .slip")
    assert "comes before" in text(slip) and "carbon monoxide" in text(slip)
    assert [right for _, right, _ in practised(store)] == [True, False]
    assert practised(store)[1][0] == ", ".join(letters)


def test_a_place_given_twice_and_a_place_left_out(hire, store):
    page = hire.submit(f"/practice/{FLUE}/{SEED}", places("ABCDEFG") | {"place_G": "1"})
    assert [box["name"] for box in page.soup.select("[aria-invalid=true]")] == ["place_A", "place_G"]
    assert "Place 1 is given twice." in page.text
    page = hire.submit(f"/practice/{FLUE}/{SEED}", places("ABCDEF"))
    assert [box["name"] for box in page.soup.select("[aria-invalid=true]")] == ["place_G"]
    assert page.soup.select_one("#place_B option[selected]")["value"] == "2"
    page = hire.submit(f"/practice/{FLUE}/{SEED}", places("ABCDEFG") | {"place_G": "99"})
    assert page.soup.select("[aria-invalid=true]")
    assert practised(store) == []


# On a paper, and under review


def _again(hire, path, page, fields):
    """Send the form of a page that shows how an answer was read."""
    hidden = {
        item["name"]: item.get("value", "") for item in page.soup.select("main form input[type=hidden]")
    }
    return hire._page(hire.client.post(path, data=hidden | fields, follow_redirects=True))


def test_a_paper_of_all_kinds(hire, sign_in, people, acts, store):
    paper = acts.assign(people.apprentice, [BUCKETS, STOP, FLUE], pass_mark=60)
    hire.submit(f"/papers/{paper}", {}, form="/start")
    linked, several, order = acts.draws(people.apprentice, paper)

    page = hire.submit(f"/papers/{paper}/1", acts.fields(linked, linked.answer()))
    assert stored(store) == [] and "Read as" in page.text
    assert text(page.soup.select_one(".echo strong")).startswith("1: ")
    # Another figure than the one that was shown as read is shown again before it counts.
    page = _again(hire, f"/papers/{paper}/1", page, acts.fields(linked, linked.body.mistaken()))
    assert stored(store) == [] and "Read as" in page.text
    page = _again(hire, f"/papers/{paper}/1", page, acts.fields(linked, linked.body.mistaken()))
    assert page.path == f"/papers/{paper}/2"
    ((typed, shown, right, credit),) = stored(store)
    assert typed == linked.body.mistaken() and shown.startswith("1: ") and not right and 0 < credit < 1

    page = hire.submit(f"/papers/{paper}/2", acts.fields(several, several.answer()))
    assert page.path == f"/papers/{paper}/3" and len(stored(store)) == 2

    fields = acts.fields(order, order.body.mistaken())
    page = hire.submit(f"/papers/{paper}/3", fields)
    assert "Read as" in page.text and len(stored(store)) == 2
    page = _again(hire, f"/papers/{paper}/3", page, fields)
    assert "handed in" in page.text
    assert [right for _, _, right, _ in stored(store)] == [False, True, False]
    assert len(page.soup.select("article.question .result")) == 3

    page = sign_in(people.trainer).get(f"/review/{paper}")
    first, second, third = page.soup.select("article.question")
    for part in linked.body.parts:
        assert part.text.en in text(first)
    assert "not right" in text(first)
    for option in several.body.options:
        assert option.text.en in text(second) and option.why.en in text(second)
    graded = [one for one in third.select(".slip") if "comes before" in text(one)]
    assert graded and all(step.text.en in text(third) for step in order.body.steps)


def test_a_paper_left_unanswered_shows_every_right_answer(hire, people, acts):
    paper = acts.assign(people.apprentice, [BUCKETS, STOP, FLUE])
    hire.submit(f"/papers/{paper}", {}, form="/start")
    hire.submit(f"/papers/{paper}", {}, form="/hand-in")
    page = hire.get(f"/papers/{paper}")
    linked, several, order = acts.draws(people.apprentice, paper)
    first, second, third = page.soup.select("article.question")
    for line in linked.answer().splitlines():
        assert line in text(first)
    assert [text(item) for item in second.select(".plain-list li")] == [
        f"{option.letter}. {option.text.en}" for option in several.body.options if option.right
    ]
    assert [text(item)[0] for item in third.select("ol.plain-list li")] == order.answer().split(", ")


def test_an_answer_stored_before_the_words_changed_is_still_shown(hire, people, acts, store, sign_in):
    """The engine's words are made anew; when they no longer fit the stored grade, what was stored is shown."""
    paper = acts.assign(people.apprentice, [BUCKETS, STOP, FLUE])
    acts.sit(people.apprentice, paper)
    with store.engine.begin() as connection:
        connection.exec_driver_sql("UPDATE answer SET right = 0, credit = 0.25")
    for page in (hire.get(f"/papers/{paper}"), sign_in(people.trainer).get(f"/review/{paper}")):
        assert page.status == 200
        assert "25 %" in page.text.replace("\xa0", " ")


def test_the_script_is_a_file_of_the_site(hire):
    page = hire.get(f"/practice/{FLUE}/{SEED}")
    (script,) = page.soup.select("main script, script[src*=order]")
    assert not script.get_text()
    with hire.client.get(script["src"]) as answer:
        assert answer.status_code == 200 and "javascript" in answer.content_type


def test_every_kind_has_its_form_and_its_template():
    assert set(ANSWERING) == set(KINDS)
    for kind in KINDS:
        template = (content_dir("templates") / "asked" / f"{kind}.html").read_text(encoding="utf-8")
        for macro in ("fields(problem, form)", "beside(problem, result)", "right(problem)"):
            assert f"{{% macro {macro} %}}" in template, (kind, macro)
