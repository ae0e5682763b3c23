"""A trainer reviews papers: every answer beside the right one, comments, grades changed with a reason."""

from __future__ import annotations

from datetime import timedelta

import pytest

from tests.shipped import shipped_bank
from trainer.questions import Draw, draw
from trainer.questions.writing import written
from trainer.records import papers, queries, quizzes
from trainer.records import people as records_people

BANK = shipped_bank()
QUESTIONS = ["crown-slab-length", "why-the-gap", "ladder-foot"]


@pytest.fixture
def trainer(sign_in, people):
    return sign_in(people.trainer)


@pytest.fixture
def give(store, people, clock):
    """give(person, answers, ...) -> a paper of the first questions, answered "right", "slip", or as typed, and handed in.

    None leaves a question open; closed=False leaves the paper out.
    """
    forms = iter(range(10_000))

    def make(person, answers, *, questions=QUESTIONS, by=None, closed=True):
        with store.write() as session:
            (paper,) = quizzes.assign(
                session,
                by or people.trainer,
                clock.now,
                title="Crowns and ladders",
                people=[person.id],
                questions=questions,
                pass_mark=60,
                due=None,
                same_numbers=True,
                bank=BANK.questions,
                draw=draw,
                token=f"quiz {next(forms)}",
                seed=5,
            ).papers
        with store.read() as session:
            frozen = [
                Draw.from_json(each.draw) for each in queries.paper(session, people.owner, paper).questions
            ]
        for position, (question, typed) in enumerate(zip(frozen, answers, strict=False), start=1):
            if typed is None:
                continue
            with store.write() as session:
                papers.answer(
                    session,
                    person,
                    clock.now,
                    paper_id=paper,
                    position=position,
                    typed=_typed(question, typed),
                    token=f"answer {next(forms)}",
                )
        if closed:
            with store.write() as session:
                papers.hand_in(session, person, clock.now, paper)
        return paper, frozen

    return make


def _typed(question: Draw, what: str) -> str:
    if what not in ("right", "slip"):
        return what
    return question.answer() if what == "right" else question.body.mistaken()


def test_a_paper_shows_each_answer_beside_the_right_one(trainer, people, give):
    paper, (length, _gap, foot) = give(people.apprentice, ["slip", "right", None])
    page = trainer.get(f"/review/{paper}")
    first, second, third = page.soup.select("article.question")
    given, right = first.select(".beside dl")
    assert (
        written(length.body.slips[0].value, length.body.unit).en in given.text and "not right" in given.text
    )
    assert length.answer() in right.text
    assert length.body.slips[0].text.en in first.text
    assert length.body.short is None or first.select_one(".consequence")
    assert first.select_one("svg") and first.select_one("ol.working")
    assert "right" in second.text and BANK.questions["why-the-gap"].body.because.en in second.text
    assert "not answered" in third.text and foot.answer() in third.text and "must be right" in third.text
    assert page.text.count("must be right") == sum(BANK.questions[name].must_pass for name in QUESTIONS)


def test_a_wrong_number_that_no_slip_explains_gets_a_guess_only_reviewers_see(trainer, people, give, sign_in):
    """The chimney's length counted twice; the grade stays as it was, and the person's own page says nothing of it."""
    _, (length, _, _) = give(people.second, [])
    twice = length.givens["chimney_length"].value * 2 + length.givens["overhang"].value * 2
    paper, _ = give(people.apprentice, [f"{twice:g}", "right", None])
    out, _ = give(people.second, [f"{twice:g}"], closed=False)
    first, second, _third = trainer.get(f"/review/{paper}").soup.select("article.question")
    guess = first.select_one(".guess")
    assert "Counted twice: chimney length" in guess.text and "does not touch the grade" in guess.text
    assert "not right" in first.text and second.select_one(".guess") is None
    assert trainer.get(f"/review/{out}").soup.select_one(".guess") is None
    mine = sign_in(people.apprentice)
    for path in (f"/papers/{paper}", f"/papers/{paper}/1"):
        assert "Counted twice" not in mine.get(path).text


def test_the_answer_is_shown_as_typed_and_as_read(trainer, people, give):
    paper, _ = give(people.apprentice, ["3' 6 1/2\"", None, None])
    first = trainer.get(f"/review/{paper}").soup.select_one("article.question .beside").text
    assert "3 ft 6 1/2 in" in first and "typed: 3' 6 1/2\"" in first


def test_the_queue_is_oldest_first_and_review_leads_to_the_next(trainer, people, give, clock):
    assert "No paper waits." in trainer.get("/review").text
    old, _ = give(people.second, ["right"])
    clock.now += timedelta(hours=1)
    new, _ = give(people.apprentice, ["right"])
    give(people.apprentice, ["right"], closed=False)
    links = [a["href"] for a in trainer.get("/review").soup.select(".list a")]
    assert links == [f"/review/{old}", f"/review/{new}"]
    page = trainer.get(links[0])
    assert "Reviewed: next paper" in page.text
    page = trainer.submit(links[0], {}, form="finish")
    assert page.path == f"/review/{new}" and "This is the next one." in page.text
    page = trainer.submit(links[1], {}, form="finish")
    assert page.path == "/review" and "No other paper waits." in page.text


def test_comments_on_an_answer_and_on_the_paper_reach_the_person(trainer, people, give, sign_in):
    paper, _ = give(people.apprentice, ["slip"])
    page = trainer.submit(
        f"/review/{paper}", {"comment1-text": "Both sides, not one."}, form=f"{paper}/1/comment"
    )
    assert (
        page.path == f"/review/{paper}" and "Both sides, not one." in page.soup.select_one("#question1").text
    )
    page = trainer.submit(
        f"/review/{paper}", {"comment-text": "Nearly there."}, form=f"review/{paper}/comment"
    )
    assert "Nearly there." in page.soup.select_one("#question").text
    seen = sign_in(people.apprentice).get(f"/papers/{paper}").text
    assert "Both sides, not one." in seen and "Nearly there." in seen and "Tom Okafor" in seen


def test_an_empty_comment_is_refused_and_its_form_stays_open(trainer, people, give):
    paper, _ = give(people.apprentice, ["slip"])
    page = trainer.submit(f"/review/{paper}", {"comment2-text": "   "}, form=f"{paper}/2/comment")
    assert page.errors == ["Comment: Fill this in."]
    assert [box.find_parent("article")["id"] for box in page.soup.select("article details[open]")] == [
        "question2"
    ]


def test_the_same_comment_sent_twice_is_kept_once(trainer, people, give):
    paper, _ = give(people.apprentice, ["slip"])
    sent = {"comment1-text": "Once.", "comment1-form_token": "the same"}
    for _ in range(2):
        page = trainer.submit(f"/review/{paper}", sent, form=f"{paper}/1/comment")
    assert page.text.count("Once.") == 1


def test_a_grade_is_changed_with_a_reason_and_the_first_stays_visible(trainer, people, give, sign_in):
    paper, _ = give(people.apprentice, ["slip", "right", "right"])
    assert "66 %" in trainer.get(f"/review/{paper}").text.replace("\xa0", " ")
    sent = {"grade1-credit": "0.5", "grade1-reason": "Right way, one side forgotten."}
    page = trainer.submit(f"/review/{paper}", sent, form=f"{paper}/1/grade")
    first = page.soup.select_one("#question1").text
    assert (
        "Grade changed from “not right” to “half right”." in first
        and "Right way, one side forgotten." in first
    )
    assert "not right" in page.soup.select_one("#question1 .beside").text, "the first grade is gone"
    assert "83 %" in page.text.replace("\xa0", " ")  # (1/2 + 1 + 1) of 3
    assert "Right way, one side forgotten." in sign_in(people.apprentice).get(f"/papers/{paper}").text


@pytest.mark.parametrize(
    ("sent", "errors"),
    [
        ({"grade1-credit": "1"}, ["Reason: Fill this in."]),
        ({"grade1-reason": "Seen on site."}, ["What is it worth?: Choose one."]),
        ({"grade1-credit": "7", "grade1-reason": "Seen on site."}, ["What is it worth?: Choose one."]),
        (
            {"grade1-credit": "0", "grade1-reason": "Seen on site."},
            ["What is it worth?: The grade is that already."],
        ),
    ],
)
def test_a_grade_is_not_changed_without_both(trainer, people, give, sent, errors):
    paper, _ = give(people.apprentice, ["slip"])
    page = trainer.submit(f"/review/{paper}", sent, form=f"{paper}/1/grade")
    assert page.status == 200 and page.errors == errors
    assert page.soup.select_one("#grade1-reason").text.strip() == sent.get("grade1-reason", "")
    assert page.soup.select_one("#question1 details[open]") and "Grade changed" not in page.text


def test_a_must_pass_question_fails_the_paper_and_the_page_says_why(trainer, people, give):
    paper, _ = give(people.apprentice, ["right", "right", None])
    text = trainer.get(f"/review/{paper}").text.replace("\xa0", " ")
    assert "66 %" in text and "not passed" in text and "a question that must be right was not." in text


def test_a_paper_still_out_can_be_seen_but_not_graded(trainer, people, give):
    paper, _ = give(people.apprentice, ["slip"], closed=False)
    page = trainer.get(f"/review/{paper}")
    assert "still out" in page.text and not page.soup.select("form[action$=grade], form[action$=finish]")
    refused = trainer.post(f"/review/{paper}/finish")
    assert refused.status == 400 and "not handed in yet" in refused.text
    sent = {"grade1-credit": "1", "grade1-reason": "Seen on site."}
    assert "not handed in yet" in " ".join(trainer.post(f"/review/{paper}/1/grade", sent).errors)


def test_nobody_reviews_their_own_paper(sign_in, people, store, give, clock):
    with store.write() as session:
        records_people.change_roles(
            session, people.owner, clock.now, people.trainer.id, ["trainer", "apprentice"]
        )
    paper, _ = give(people.trainer, ["right"], by=people.owner)
    trainer = sign_in(people.trainer)
    assert f"/review/{paper}" not in trainer.get("/review").html
    page = trainer.get(f"/review/{paper}")
    assert page.status == 403 and "Nobody reviews their own paper." in page.text
    sent = {"grade1-credit": "0", "grade1-reason": "Modesty.", "comment1-text": "Hm."}
    for end in ("1/grade", "1/comment", "comment", "finish"):
        assert trainer.post(f"/review/{paper}/{end}", sent).status == 403
    assert sign_in(people.owner).get(f"/review/{paper}").status == 200


def test_unknown_papers_and_questions_are_404(trainer, people, give):
    paper, _ = give(people.apprentice, ["right"])
    assert trainer.get("/review/999").status == 404 and trainer.post("/review/999/finish").status == 404
    for path in (f"/review/{paper}/9/grade", f"/review/{paper}/9/comment"):
        assert trainer.get(path).status == 404 and trainer.post(path).status == 404


def test_what_was_typed_is_never_markup(trainer, people, give):
    paper, _ = give(people.apprentice, ["slip"])
    sent = {"comment1-text": "<script>alert(1)</script>"}
    page = trainer.submit(f"/review/{paper}", sent, form=f"{paper}/1/comment")
    assert "<script>alert(1)</script>" in page.text and "<script>" not in page.html


def test_every_id_on_the_page_is_its_own(trainer, people, give):
    paper, _ = give(people.apprentice, ["slip", "right", "right"])
    ids = [found["id"] for found in trainer.get(f"/review/{paper}").soup.select("main [id]")]
    assert len(ids) > 10 and len(ids) == len(set(ids))


def test_a_reader_of_spanish_reads_the_slip_in_spanish(sign_in, people, give):
    paper, (length, *_rest) = give(people.apprentice, ["slip"])
    page = sign_in(people.trainer, language="es").get(f"/review/{paper}")
    assert length.body.slips[0].text.es in page.text and length.text.es.split(".")[0] in page.text


def test_the_pages_cost_the_same_for_many_papers_and_questions(trainer, people, give, count_statements):
    def cost(path):
        with count_statements() as seen:
            assert trainer.get(path).status == 200
        return len(seen)

    one, _ = give(people.apprentice, ["slip"], questions=QUESTIONS[:1])
    few = [cost("/review"), cost(f"/review/{one}")]
    long, _ = give(people.apprentice, ["slip"] * 30, questions=sorted(BANK.questions)[:30])
    for position in (1, 2, 3):
        trainer.submit(
            f"/review/{long}", {f"comment{position}-text": "Look again."}, form=f"{long}/{position}/comment"
        )
        sent = {f"grade{position}-credit": "0.5", f"grade{position}-reason": "Half of it."}
        trainer.submit(f"/review/{long}", sent, form=f"{long}/{position}/grade")
    for _ in range(55):
        give(people.second, ["right"], questions=QUESTIONS[:1])
    many = [cost("/review"), cost(f"/review/{long}")]
    assert 0 < max(many) <= 20
    assert few == many
    assert len(trainer.get("/review").soup.select(".list a")) == 50
    assert len(trainer.get("/review", page="2").soup.select(".list a")) == 7


def test_a_comment_form_sent_again_with_other_words_is_said_and_kept(trainer, people, give, store):
    paper, _ = give(people.apprentice, ["slip"])
    token = trainer.get(f"/review/{paper}").soup.select_one("#question1 input[name=comment1-form_token]")[
        "value"
    ]
    sent = {"comment1-text": "Both sides.", "comment1-form_token": token}
    assert [trainer.post(f"/review/{paper}/1/comment", sent).status for _ in range(2)] == [303, 303]
    page = trainer.post(f"/review/{paper}/1/comment", {**sent, "comment1-text": "All four sides."})
    assert page.status == 200 and "sent once before with other content" in page.errors[0]
    box = page.soup.select_one("#question1 textarea[name=comment1-text]")
    assert box.get_text().strip() == "All four sides." and box.find_parent("details").has_attr("open")
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT text FROM comment").scalars().all() == ["Both sides."]


def test_a_grade_changed_meanwhile_is_not_overwritten(trainer, sign_in, people, give, store):
    paper, _ = give(people.apprentice, ["slip"])
    path = f"/review/{paper}/1/grade"
    opened = trainer.get(f"/review/{paper}").soup.select_one("input[name=grade1-made_from]")["value"]
    owner = sign_in(people.owner)
    owner.submit(
        f"/review/{paper}", {"grade1-credit": "0.5", "grade1-reason": "Method right."}, form="/1/grade"
    )
    mine = {"grade1-credit": "1", "grade1-reason": "Read it wrongly.", "grade1-form_token": "mine"}
    page = trainer.post(path, {**mine, "grade1-made_from": opened})
    assert (
        page.status == 200
        and "Nora Whitfield gave 50 %. That stands; yours was not stored." in page.errors[0]
    )
    first = page.soup.select_one("#question1")
    assert "Method right." in first.text and "It counts as: ◔ half right" in " ".join(
        first.get_text(" ").split()
    )
    assert first.select_one("textarea[name=grade1-reason]").get_text().strip() == "Read it wrongly."
    assert first.select_one("input[name=grade1-credit][checked]")["value"] == "1"
    changes = "SELECT after FROM grade_change ORDER BY id"
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql(changes).scalars().all() == [0.5]
    now = first.select_one("input[name=grade1-made_from]")["value"]
    assert trainer.post(path, {**mine, "grade1-made_from": now}).status == 303
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql(changes).scalars().all() == [0.5, 1.0]


def test_a_paper_that_is_still_out_shows_no_right_answer_to_a_reviewer(trainer, people, give):
    paper, drawn = give(people.apprentice, ["slip", "right"], closed=False)
    page = trainer.get(f"/review/{paper}")
    words = page.soup.select_one("main").get_text(" ")
    assert written(drawn[0].body.slips[0].value, drawn[0].body.unit).en in words  # what was answered is there
    for each in drawn:
        if each.kind != "choose":
            assert each.answer() not in words
    assert (
        drawn[0].body.slips[0].text.en not in words
        and BANK.questions["why-the-gap"].body.because.en not in words
    )
    for word in ("Right answer", "not right", "What went wrong"):
        assert word not in words
    assert not page.soup.select("ol.working, .result-right, .result-wrong, .consequence")


def test_who_has_still_to_sit_a_quiz_sees_no_answers_to_it(sign_in, people, store, clock):
    """A trainer who is given the same quiz: another's paper of it opens only when their own is handed in."""
    with store.write() as session:
        theirs, own = assign_both(session, people, clock)
    with store.write() as session:
        papers.hand_in(session, people.apprentice, clock.now, theirs)
    trainer = sign_in(people.trainer)
    assert trainer.get(f"/review/{theirs}").status == 403
    assert "hand it in before you look at another" in trainer.get(f"/review/{theirs}").text
    assert trainer.get("/review").soup.select(".list a") == []
    acts = {
        f"/review/{theirs}/comment": {"comment-text": "Fine."},
        f"/review/{theirs}/1/grade": {
            "grade1-credit": "1",
            "grade1-reason": "Fine.",
            "grade1-made_from": "0",
        },
        f"/review/{theirs}/finish": {},
    }
    for path, fields in acts.items():
        assert trainer.post(path, fields).status == 403, path
    with store.read() as session:
        assert queries.counts(session, people.trainer).for_review == 0
    with store.write() as session:
        papers.hand_in(session, people.trainer, clock.now, own)
    assert trainer.get(f"/review/{theirs}").status == 200
    assert [link["href"] for link in trainer.get("/review").soup.select(".list a")] == [f"/review/{theirs}"]


def assign_both(session, people, clock):
    made = quizzes.assign(
        session,
        people.owner,
        clock.now,
        title="Crowns and ladders",
        people=[people.apprentice.id, people.trainer.id],
        questions=QUESTIONS,
        pass_mark=60,
        due=None,
        same_numbers=True,
        bank=BANK.questions,
        draw=draw,
        token="both",
        seed=5,
    )
    return made.papers
