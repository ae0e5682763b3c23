"""One's own paper: start, answer with the reading shown first, stop and go on, hand in, and the result."""

from __future__ import annotations

import pytest

from trainer.questions.hints import hints
from trainer.records import review as reviews

QUESTIONS = ["crown-slab-length", "why-the-gap", "ladder-foot"]


@pytest.fixture
def hire(sign_in, people):
    return sign_in(people.apprentice)


@pytest.fixture
def paper(people, acts):
    """A paper of two numbers and a choice for the apprentice."""
    return acts.assign(people.apprentice, QUESTIONS, pass_mark=60)


@pytest.fixture
def drawn(people, acts, paper):
    return acts.draws(people.apprentice, paper)


def stored(store):
    with store.engine.connect() as connection:
        rows = connection.exec_driver_sql("SELECT typed, shown, right FROM answer ORDER BY id").all()
    return [(typed, shown, bool(right)) for typed, shown, right in rows]


def keep(hire, path, typed):
    """Type a number, look at how it was read, keep it."""
    fields = form_of(hire.submit(path, {"answer": typed}))
    return hire._page(hire.client.post(path, data=fields, follow_redirects=True))


def form_of(page):
    return {item["name"]: item.get("value", "") for item in page.soup.select("main form input[name]")}


def test_the_first_page_says_what_is_asked_and_shows_no_question(hire, paper, drawn):
    page = hire.get(f"/papers/{paper}")
    assert (
        "Crowns and roofs" in page.text
        and "60 %" in page.text.replace("\xa0", " ")
        and "no date" in page.text
    )
    assert drawn[0].text.en not in page.text and not page.soup.select("ol.working")
    # Nobody gets at a question before the start is noted.
    assert hire.get(f"/papers/{paper}/1").path == f"/papers/{paper}"


def test_start_leads_to_the_first_question(hire, paper, drawn):
    page = hire.submit(f"/papers/{paper}", {}, form="/start")
    assert (
        page.path == f"/papers/{paper}/1" and "Question 1 of 3" in page.text and drawn[0].text.en in page.text
    )
    assert "Go on" in hire.get(f"/papers/{paper}").text


def test_a_number_is_shown_as_read_before_it_counts(hire, paper, store, acts, drawn):
    hire.post(f"/papers/{paper}/start")
    path = f"/papers/{paper}/1"
    page = hire.submit(path, {"answer": "3' 6½\""})
    assert page.status == 200 and "Read as 3 ft 6 1/2 in" in page.text and stored(store) == []
    assert page.soup.select_one("#answer")["value"] == "3' 6½\""
    assert page.soup.select_one("main form button").get_text() == "Keep this answer"
    # Changed instead of kept: read again, and still nothing counts.
    fields = form_of(page) | {"answer": "54 1/2"}
    changed = hire._page(hire.client.post(path, data=fields))
    assert "Read as 54 1/2 in" in changed.text and stored(store) == []
    kept = hire._page(hire.client.post(path, data=form_of(changed), follow_redirects=True))
    assert kept.path == f"/papers/{paper}/2" and "Kept: 54 1/2 in" in kept.text
    ((typed, shown, right),) = stored(store)
    assert (typed, shown) == ("54 1/2", "54 1/2 in") and right == (drawn[0].body.expected == 54.5)


def test_what_cannot_be_read_is_not_stored_and_stays(hire, paper, store):
    hire.post(f"/papers/{paper}/start")
    for typed, word in (
        ("3,5", "comma"),
        ("about a yard", "about a yard"),
        ("", "Fill this in."),
        ("9" * 61, "60"),
    ):
        page = hire.submit(f"/papers/{paper}/1", {"answer": typed})
        assert word in page.soup.select_one(".field-wrong .error").get_text(), typed
        assert (
            page.soup.select_one("#answer")["value"] == typed
            and page.soup.select_one("#confirmed")["value"] == ""
        )
    assert stored(store) == []


def test_a_choice_counts_at_once(hire, paper, store, acts, drawn):
    hire.post(f"/papers/{paper}/start")
    page = hire.submit(f"/papers/{paper}/2", {"answer": acts.right(drawn[1])})
    assert page.path == f"/papers/{paper}/1" and stored(store)[0][2] is True  # back to the first that is open
    assert "1 of 3 answered" in page.text


def test_sent_twice_an_answer_is_stored_once(hire, paper, store):
    hire.post(f"/papers/{paper}/start")
    path = f"/papers/{paper}/1"
    fields = form_of(hire.submit(path, {"answer": "54 1/2"}))
    first = hire.client.post(path, data=fields)
    again = hire.client.post(path, data=fields)
    assert first.status_code == again.status_code == 303 and first.location == again.location
    assert len(stored(store)) == 1


def test_a_second_browser_is_told_what_stands_and_what_was_not_kept(hire, paper, store):
    hire.post(f"/papers/{paper}/start")
    path = f"/papers/{paper}/1"
    other = form_of(hire.get(path)) | {"answer": "10 1/2", "confirmed": "10 1/2"}
    keep(hire, path, "54 1/2")
    page = hire._page(hire.client.post(path, data=other, follow_redirects=True))
    assert page.soup.select_one(".flash").get_text() == (
        "Question 1 was answered already: 54 1/2 in stands. “10 1/2 in” was not kept."
    )
    assert page.path == f"/papers/{paper}/2" and [typed for typed, *_ in stored(store)] == ["54 1/2"]


def test_the_same_form_with_another_answer_is_told_the_same(hire, paper, store):
    hire.post(f"/papers/{paper}/start")
    path = f"/papers/{paper}/1"
    fields = form_of(hire.submit(path, {"answer": "54 1/2"}))
    hire.client.post(path, data=fields)
    changed = fields | {"answer": "about right", "confirmed": "about right"}
    page = hire._page(hire.client.post(path, data=changed, follow_redirects=True))
    assert "54 1/2 in stands. “about right” was not kept." in page.text
    assert [typed for typed, *_ in stored(store)] == ["54 1/2"]


def test_answered_elsewhere_between_reading_and_writing(hire, paper, people, acts, store, monkeypatch):
    """The other browser's answer arrives after this one's page was read and before it is written."""
    from trainer.records import papers

    hire.post(f"/papers/{paper}/start")
    path = f"/papers/{paper}/1"
    fields = form_of(hire.submit(path, {"answer": "10 1/2"}))
    real = papers.answer
    other = {"typed": "54 1/2", "token": "the other browser", "grade": papers.grade_frozen}

    def later(session, actor, now, **given):
        if given["typed"] == "10 1/2":
            real(session, actor, now, **given | other)
        return real(session, actor, now, **given)

    monkeypatch.setattr(papers, "answer", later)
    page = hire._page(hire.client.post(path, data=fields, follow_redirects=True))
    assert "54 1/2 in stands. “10 1/2 in” was not kept." in page.text and len(stored(store)) == 1


def test_right_answers_stay_hidden_until_the_paper_is_closed(hire, paper, acts, drawn):
    hire.post(f"/papers/{paper}/start")
    seen = [
        keep(hire, f"/papers/{paper}/1", "1 in"),
        hire.get(f"/papers/{paper}"),
        hire.get("/record"),
        hire.get("/today"),
    ]
    for page in seen:
        words = page.soup.select_one("main").get_text()
        assert drawn[0].answer() not in words and "Right answer" not in words and "Not right" not in words
        assert not page.soup.select(".result-wrong, .result-right, ol.working")


def test_the_last_answer_hands_in_and_the_result_page_shows_everything(hire, paper, acts, drawn, bank):
    hire.post(f"/papers/{paper}/start")
    keep(hire, f"/papers/{paper}/1", "1 in")
    hire.submit(f"/papers/{paper}/2", {"answer": acts.right(drawn[1])})
    page = keep(hire, f"/papers/{paper}/3", acts.right(drawn[2]))
    assert page.path == f"/papers/{paper}" and "the paper is handed in" in page.text
    assert "66 %" in page.text.replace("\xa0", " ")  # two of three, never rounded up
    assert "a trainer will look at it" in page.text
    marks = [one.get_text(" ", strip=True) for one in page.soup.select("article .result h3")]
    assert marks == ["✗ Not right", "✓ Right", "✓ Right"]
    for each in drawn:
        assert each.text.en in page.text and each.answer() in page.text
    assert len(page.soup.select("ol.working")) == 2  # the choice has none
    assert not page.soup.select("main form")


def test_a_closed_paper_takes_nothing_more(hire, paper, people, acts, store):
    hire.post(f"/papers/{paper}/start")
    left = form_of(hire.get(f"/papers/{paper}/1")) | {"answer": "10", "confirmed": "10"}
    hire.post(f"/papers/{paper}/hand-in")
    answer = hire.client.post(f"/papers/{paper}/1", data=left)
    assert answer.status_code == 303 and answer.location == f"/papers/{paper}" and stored(store) == []
    told = hire.get(f"/papers/{paper}").soup.select_one(".flash:-soup-contains('was not kept')").get_text()
    assert told == "The paper is handed in and takes no more answers. “10 in” was not kept."
    assert hire.post(f"/papers/{paper}/start").location == f"/papers/{paper}"


def test_handing_in_early_counts_what_is_open_as_not_right(hire, paper):
    hire.submit(f"/papers/{paper}", {}, form="/start")
    page = hire.submit(f"/papers/{paper}", {}, form="/hand-in")
    assert "0 %" in page.text.replace("\xa0", " ") and page.text.count("– not answered") == 3
    assert "✗ not passed" in page.text


def test_a_must_pass_question_that_was_missed_is_said(hire, people, acts):
    paper = acts.assign(people.apprentice, ["wire-over-the-driveway", *QUESTIONS], pass_mark=60)
    drawn = acts.draws(people.apprentice, paper)
    assert drawn[0].must_pass
    hire.post(f"/papers/{paper}/start")
    wrong = next(option.letter for option in drawn[0].body.options if not option.right)
    hire.submit(f"/papers/{paper}/1", {"answer": wrong})
    for position in (2, 3, 4):
        typed = acts.right(drawn[position - 1])
        page = (
            hire.submit(f"/papers/{paper}/{position}", {"answer": typed})
            if drawn[position - 1].kind == "choose"
            else keep(hire, f"/papers/{paper}/{position}", typed)
        )
    assert "75 %" in page.text.replace("\xa0", " ") and "✗ not passed" in page.text
    assert "a question that must be right was not" in page.text


def test_a_changed_grade_and_comments_show_with_their_reason(hire, paper, people, acts, store, clock):
    hire.post(f"/papers/{paper}/start")
    keep(hire, f"/papers/{paper}/1", "1 in")
    hire.post(f"/papers/{paper}/hand-in")
    with store.write() as session:
        reviews.change_grade(
            session, people.trainer, clock.now, paper_id=paper, position=1, credit=0.5, reason="Method right."
        )
        for position, text in ((1, "Write it down."), (None, "Good start.")):
            reviews.comment(
                session, people.trainer, clock.now, paper_id=paper, position=position, text=text, token=text
            )
    text = hire.get(f"/papers/{paper}").text.replace("\xa0", " ")
    assert "◔ Partly right: counts 50 %" in text
    assert "Tom Okafor changed the grade from 0 % to 50 %: Method right." in text
    assert "Tom Okafor: Write it down." in text and "Tom Okafor: Good start." in text


def test_what_was_typed_in_one_language_reads_in_the_other(sign_in, people, paper):
    browser = sign_in(people.apprentice, "es")
    browser.post(f"/papers/{paper}/start")
    page = keep(browser, f"/papers/{paper}/1", "4 pies 6 1/2 pulg")
    assert page.path == f"/papers/{paper}/2" and "4 ft 6 1/2 in" in page.text
    browser.post(f"/papers/{paper}/hand-in")
    for language in ("en", "es"):
        result = (
            sign_in(people.apprentice, language).get(f"/papers/{paper}").soup.select_one("article .result")
        )
        assert result.dd.get_text(strip=True) == "4 ft 6 1/2 in" and "result-right" not in result["class"]


def test_the_result_says_how_sure_it_is(hire, paper, acts, drawn, people, sign_in):
    """Wilson, 95 %: 2 of 3 is 20.8 to 93.9 %, 3 of 3 is 43.9 to 100 % (scipy.stats.binomtest)."""
    hire.post(f"/papers/{paper}/start")
    assert "most likely lie" not in hire.get(f"/papers/{paper}").text
    for position, question in enumerate(drawn[:2], start=1):
        keep(hire, f"/papers/{paper}/{position}", acts.right(question)) if position == 1 else hire.submit(
            f"/papers/{paper}/{position}", {"answer": acts.right(question)}
        )
    hire.post(f"/papers/{paper}/hand-in")
    for page in (hire.get(f"/papers/{paper}"), sign_in(people.trainer).get(f"/review/{paper}")):
        said = " ".join(page.soup.select_one(".sure").get_text(" ").split())
        assert "2 of 3 right." in said and "between 21 and 94 %" in said
        assert "The pass mark lies within that" in said
    for page in (sign_in(people.trainer).get("/review"), hire.get("/record")):
        assert "2 of 3 right; likely between 21 and 94 %" in page.text


def test_other_peoples_papers_stay_closed(sign_in, people, paper):
    for other in (people.second, people.trainer, people.owner):
        browser = sign_in(other)
        assert browser.get(f"/papers/{paper}").status == 403
        assert browser.post(f"/papers/{paper}/start").status == 403
        assert browser.post(f"/papers/{paper}/1", {"answer": "1"}).status == 403
        assert browser.post(f"/papers/{paper}/hand-in").status == 403


def test_papers_and_questions_that_do_not_exist(hire, paper):
    assert hire.get("/papers/999").status == 404 and hire.get(f"/papers/{paper}/9").status == 404


def test_statements_do_not_grow_with_the_questions(hire, people, acts, bank, crowd, count_statements):
    few, many = (
        acts.assign(people.apprentice, QUESTIONS),
        acts.assign(
            people.apprentice,
            ["crown-slab-length", *(id for id in sorted(bank.questions)[:19] if id not in QUESTIONS)],
        ),
    )
    crowd(36)
    seen = {}
    for paper in (few, many):
        hire.post(f"/papers/{paper}/start")
        path = f"/papers/{paper}/1"
        hire.get(path)
        with count_statements() as open_page:
            hire.get(path)
        fields = form_of(hire.submit(path, {"answer": "10"}))
        with count_statements() as kept:
            assert hire.client.post(path, data=fields).location == f"/papers/{paper}/2"
        hire.post(f"/papers/{paper}/hand-in")
        with count_statements() as result:
            hire.get(f"/papers/{paper}")
        seen[paper] = [len(open_page), len(kept), len(result)]
    assert seen[few] == seen[many] and max(seen[few]) <= 20, seen


def test_a_hint_says_its_price_first_is_paid_for_and_stays(sign_in, people, acts, store, clock):
    """Hints at a fifth each: one opened beside a half-typed answer, then the right answer."""
    paper = acts.assign(people.apprentice, ["crown-slab-length", "ladder-foot"], hint_cost=20)
    drawn = acts.draws(people.apprentice, paper)[0]
    apprentice = sign_in(people.apprentice)
    assert "each takes 20 % off its question" in apprentice.get(f"/papers/{paper}").text
    page = apprentice.submit(f"/papers/{paper}", {}, form="/start")
    assert "Opening it takes 20 % off" in page.text and "Hint 1 of 3" in page.text
    told = hints(drawn)[0].en
    assert told not in page.text
    # The browser's Enter presses the first button of a form: that one must be the answer's own.
    assert not page.soup.select_one("form.form button").get("formaction")
    opened = apprentice.post(f"/papers/{paper}/1/hint", {"answer": "40 in", "hint": "1"})
    assert opened.status == 200 and told in opened.text and "Hint 2 of 3" in opened.text
    assert opened.soup.select_one("input[name=answer]")["value"] == "40 in" and not opened.errors
    again = apprentice.post(f"/papers/{paper}/1/hint", {"answer": "40 in", "hint": "1"})
    assert again.status == 200 and "Hint 2 of 3" in again.text
    assert told in apprentice.get(f"/papers/{paper}/1").text
    skipped = apprentice.post(f"/papers/{paper}/1/hint", {"answer": "40 in", "hint": "3"})
    assert "Open hint 2 first." in skipped.text
    right = drawn.answer()
    token = apprentice.get(f"/papers/{paper}/1").soup.select_one("input[name=form_token]")["value"]
    apprentice.post(f"/papers/{paper}/1", {"answer": right, "confirmed": right, "form_token": token})
    assert (
        "Hint" not in apprentice.get(f"/papers/{paper}/2").soup.select_one("form.form").text
    )  # must be right
    assert (
        "must be right has no hints"
        in apprentice.post(f"/papers/{paper}/2/hint", {"answer": "1", "hint": "1"}).text
    )
    apprentice.submit(f"/papers/{paper}", {}, form="/hand-in")
    done = apprentice.get(f"/papers/{paper}").text.replace("\xa0", " ")
    assert "40 %" in done and "counts 80 %" in done and "1 hint opened: 20 % off this question" in done
    assert "1 hint opened" in apprentice.get("/record").text
    trainer = sign_in(people.trainer)
    review = trainer.get(f"/review/{paper}").soup.select_one("#question1").text
    assert "1 hint opened: 20 % off this question" in review and told in review
    told_of = sign_in(people.owner).get("/history").text
    assert "Hint opened" in told_of and "price of a hint" in told_of
    late = apprentice.post(f"/papers/{paper}/2/hint", {"answer": "1", "hint": "1"})
    assert late.status == 303


def test_without_a_price_no_paper_offers_a_hint(sign_in, people, acts):
    paper = acts.assign(people.apprentice, ["crown-slab-length"])
    apprentice = sign_in(people.apprentice)
    page = apprentice.submit(f"/papers/{paper}", {}, form="/start")
    assert "Hint" not in page.soup.select_one("main").text
    assert (
        "This quiz gives no hints."
        in apprentice.post(f"/papers/{paper}/1/hint", {"answer": "", "hint": "1"}).text
    )


@pytest.mark.parametrize("number", ["", "0", "4", "x", "99999999999999999999"])
def test_a_hint_that_does_not_exist_is_a_404(sign_in, people, acts, number):
    paper = acts.assign(people.apprentice, ["crown-slab-length"], hint_cost=0)
    apprentice = sign_in(people.apprentice)
    apprentice.submit(f"/papers/{paper}", {}, form="/start")
    assert apprentice.post(f"/papers/{paper}/1/hint", {"answer": "", "hint": number}).status == 404
    assert apprentice.post(f"/papers/{paper}/9/hint", {"hint": "1"}).status == 404
