"""A trainer assigns a quiz, follows it and takes it back."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import func, select

from tests.shipped import shipped_bank, shipped_content
from trainer.cli import weekly
from trainer.errors import NotAllowed, UnknownName
from trainer.languages import Text
from trainer.questions import Draw, draw
from trainer.records import people as records_people
from trainer.records import queries, quizzes
from trainer.records.models import Paper, PaperQuestion, Quiz
from trainer.web.content import CONTENT

BANK = shipped_bank()
SKILL = "bond-breaks"


@pytest.fixture
def trainer(sign_in, people):
    return sign_in(people.trainer)


@pytest.fixture
def terms(people):
    return {
        "title": "First week",
        "people": [str(people.apprentice.id), str(people.second.id)],
        f"take-{SKILL}": "2",
        "questions": ["ladder-foot"],
        "pass_mark": "75",
        "due_day": "2026-12-01",
        "due_time": "17:00",
    }


def assigned(store, people):
    """Every quiz with its papers, as the trainer reads them."""
    with store.read() as session:
        rows = queries.quizzes(session, people.trainer).items
        views = [queries.quiz(session, people.trainer, row.id) for row in rows]
        return [
            (view.row, [queries.paper(session, people.trainer, paper.id) for paper in view.papers])
            for view in views
        ]


def test_a_quiz_by_skill_and_single_question_reaches_each_person(trainer, people, store, terms, sign_in):
    page = trainer.submit("/assign/new", terms)
    assert page.path == "/assign/1" and "Assigned to 2 people." in page.text
    assert (
        "First week" in page.text
        and "75 %" in page.text
        and "1 December 2026, 5:00 PM" in page.text.replace("\xa0", " ")
    )
    ((row, papers),) = assigned(store, people)
    # The shop's zone is seven hours behind UTC in winter (IANA time zone database, America/Denver).
    assert row.due == datetime(2026, 12, 2, 0, 0, tzinfo=UTC)
    assert {paper.row.person_id for paper in papers} == {people.apprentice.id, people.second.id}
    for paper in papers:
        asked = [each.question for each in paper.questions]
        assert "ladder-foot" in asked and len(asked) == 3
        assert sum(SKILL in BANK.questions[name].skills for name in asked) == 2
    assert "First week" in sign_in(people.apprentice).get("/today").text


@pytest.mark.parametrize(("chosen", "cost"), [("none", None), ("0", 0), ("25", 25)])
def test_hints_are_allowed_at_a_price_when_assigning(trainer, people, store, terms, chosen, cost):
    page = trainer.submit("/assign/new", {**terms, "hints": chosen})
    ((row, _papers),) = assigned(store, people)
    assert row.hint_cost == cost
    said = {None: "none", 0: "each free", 25: "each takes 25 % off its question"}[cost]
    assert said in page.soup.select_one("main").text


@pytest.mark.parametrize(("numbers", "equal"), [("same", True), ("own", False)])
def test_the_same_numbers_for_all_or_each_their_own(trainer, people, store, terms, numbers, equal):
    trainer.submit("/assign/new", {**terms, "numbers": numbers})
    ((_row, papers),) = assigned(store, people)
    one, two = (
        [each.draw["text"] for each in paper.questions if each.question == "ladder-foot"] for paper in papers
    )
    assert (one == two) is equal


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"title": "  "}, "Name of the quiz: Fill this in."),
        ({"people": []}, "For whom: Choose at least one person."),
        ({"people": ["1"]}, "For whom: That is not offered here. Choose again."),  # the owner is no new hire
        ({"pass_mark": "most"}, "“most” is no pass mark; give a whole number from 1 to 100."),
        ({"pass_mark": "0"}, "“0” is no pass mark; give a whole number from 1 to 100."),
        ({"pass_mark": "１００"}, "“１００” is no pass mark; give a whole number from 1 to 100."),
        ({"due_day": "01/12/2026"}, "“01/12/2026” is no date; give one such as 2026-11-25."),
        ({"due_day": "9999-12-31"}, "“9999-12-31” is no date; give one such as 2026-11-25."),
        ({"due_time": "noon"}, "“noon” is no time; give one such as 17:00."),
        ({"due_time": ""}, "Give the time too."),
        ({"due_day": "2026-11-25", "due_time": "13:39"}, "The due time lies in the past."),  # it is 1:40 PM
        ({"questions": [], f"take-{SKILL}": "0"}, "Choose at least one question or skill."),
        ({"hints": "1000"}, "That is not offered here. Choose again."),
        ({"questions": ["no-such-question"]}, "That is not offered here. Choose again."),
        ({f"take-{SKILL}": "99"}, "That is not offered here. Choose again."),
    ],
)
def test_what_cannot_be_assigned_is_said_and_what_was_typed_stays(
    trainer, people, store, terms, change, sentence
):
    sent = {**terms, **change}
    page = trainer.submit("/assign/new", sent)
    assert page.status == 200 and any(sentence in error for error in page.errors), page.errors
    for name in ("title", "pass_mark", "due_day", "due_time"):
        assert page.soup.select_one(f"#{name}")["value"].strip() == sent[name].strip()
    kept = {box["value"] for box in page.soup.select("input[name=people][checked]")}
    assert kept == set(sent["people"]) & {str(people.apprentice.id), str(people.second.id)}
    assert not assigned(store, people)


def test_questions_that_two_skills_share_are_counted_once_and_the_skill_is_named(trainer, terms):
    # Every question of one skill is taken; what is left of the other is then fewer than asked for.
    one, two = next(
        (one, two)
        for one in BANK.skills
        for two in BANK.skills
        if one != two and any({one, two} <= set(question.skills) for question in BANK.questions.values())
    )
    # Skills are taken in the order of the form, so whichever comes second is short.
    page = trainer.submit(
        "/assign/new",
        {
            **terms,
            f"take-{SKILL}": "0",
            "questions": [],
            **{f"take-{skill}": str(len(BANK.of_skill(skill))) for skill in (one, two)},
        },
    )
    assert len(page.errors) == 1 and "not on the paper yet" in page.errors[0]
    assert BANK.skills[two].name.en in page.errors[0] and repr(two) not in page.errors[0]


def test_the_same_form_sent_twice_assigns_once(trainer, people, store, terms):
    trainer.submit("/assign/new", {**terms, "form_token": "once"})
    page = trainer.submit("/assign/new", {**terms, "form_token": "once"})
    assert page.path == "/assign/1" and len(assigned(store, people)) == 1


def test_only_active_new_hires_are_offered(trainer, people, store, clock):
    with store.write() as session:
        records_people.deactivate(session, people.owner, clock.now, people.second.id)
    offered = [box["value"] for box in trainer.get("/assign/new").soup.select("input[name=people]")]
    assert offered == [str(people.apprentice.id)]


def test_without_new_hires_the_page_says_so(trainer, people, store, clock):
    with store.write() as session:
        for person in (people.apprentice, people.second):
            records_people.deactivate(session, people.owner, clock.now, person.id)
    page = trainer.get("/assign/new")
    assert page.status == 200 and "nobody to assign to" in page.text and not page.soup.select("main form")


def test_every_question_is_offered_once_and_can_be_seen_first(trainer):
    page = trainer.get("/assign/new")
    offered = [box["value"] for box in page.soup.select("input[name=questions]")]
    assert sorted(offered) == sorted(BANK.questions)
    link = next(a["href"] for a in page.soup.select(".check a") if a["href"].endswith("/ladder-foot"))
    seen = trainer.get(link)
    assert seen.status == 200 and seen.path.startswith("/practice/ladder-foot/")
    ids = [found["id"] for found in page.soup.select("[id]")]
    assert len(ids) == len(set(ids))


def test_a_quiz_is_taken_back(trainer, people, store, terms):
    trainer.submit("/assign/new", terms)
    page = trainer.submit("/assign/1", {}, form="take-back")
    assert "Taken back." in page.text and "2 of 2" in page.text
    assert not page.soup.select("form[action$=take-back]")
    ((_row, papers),) = assigned(store, people)
    assert all(paper.row.closed_at is not None for paper in papers)


def test_a_paper_past_its_due_time_is_overdue(trainer, people, terms, clock, sign_in):
    trainer.submit("/assign/new", terms)
    assert "overdue" not in trainer.get("/assign/1").text
    clock.now += timedelta(days=8)
    assert sign_in(people.trainer).get("/assign/1").text.count("overdue") == 2


def test_the_title_is_shown_as_typed_and_never_as_markup(trainer, terms):
    page = trainer.submit("/assign/new", {**terms, "title": '<b>"Edge" & cover</b>'})
    assert '<b>"Edge" & cover</b>' in page.text and "<b>" not in page.html


def test_an_unknown_quiz_is_a_404(trainer):
    assert trainer.get("/assign/77").status == 404
    assert trainer.post("/assign/77/take-back").status == 404


def test_an_empty_list_says_what_to_do(trainer):
    assert "No quiz has been assigned yet." in trainer.get("/assign").text


def test_the_pages_cost_the_same_for_many_quizzes_and_papers(trainer, people, store, clock, count_statements):
    with store.write() as session:
        hands = [
            records_people.add_person(
                session, people.owner, clock.now, name=f"Hand {n}", sign_in=f"hand{n}", roles=["apprentice"]
            ).person_id
            for n in range(15)
        ]

    def assign(takers, token):
        with store.write() as session:
            quizzes.assign(
                session,
                people.trainer,
                clock.now,
                title=f"Quiz {token}",
                people=takers,
                questions=["why-the-gap", "ladder-foot"],
                pass_mark=80,
                due=None,
                same_numbers=True,
                bank=BANK.questions,
                draw=draw,
                token=token,
            )

    def cost(path):
        with count_statements() as seen:
            assert trainer.get(path).status == 200
        return len(seen)

    assign([people.apprentice.id], "1")
    few = [cost(path) for path in ("/assign", "/assign/new", "/assign/1")]
    assign(hands, "2")
    for number in range(3, 60):
        assign([people.second.id], str(number))
    many = [cost(path) for path in ("/assign", "/assign/new", "/assign/2")]
    assert few == many and 0 < max(many) <= 20
    # Fifty a page, newest first.
    listed = [a.text for a in trainer.get("/assign").soup.select("tbody a")]
    assert (listed[0], len(listed)) == ("Quiz 59", 50)
    assert [a.text for a in trainer.get("/assign", page="2").soup.select("tbody a")][-1] == "Quiz 1"


def test_the_same_form_with_other_content_is_said_and_counts_when_sent_once_more(
    trainer, people, store, terms
):
    token = trainer.get("/assign/new").soup.select_one("input[name=form_token]")["value"]
    sent = {**terms, "numbers": "own", "hints": "none", "weakest": "0", "form_token": token}
    first = trainer.post("/assign/new", sent)
    assert trainer.post("/assign/new", sent).location == first.location == "/assign/1"
    changed = {**sent, "title": "Second week"}
    page = trainer.post("/assign/new", changed)
    assert page.status == 200 and len(page.errors) == 1
    assert page.errors[0].startswith("This form was sent once before with other content, which is stored")
    assert page.soup.select_one("#title")["value"] == "Second week" and len(assigned(store, people)) == 1
    changed["form_token"] = page.soup.select_one("input[name=form_token]")["value"]
    assert changed["form_token"] != token
    assert trainer.post("/assign/new", changed).location == "/assign/2"
    assert sorted(row.title for row, _ in assigned(store, people)) == ["First week", "Second week"]


def test_someone_who_vanished_gives_a_404_and_not_a_form(trainer, people, store, terms, monkeypatch):
    def gone(*_given, **_more):
        raise UnknownName(Text(en="There is no such person.", es="No existe esa persona."))

    monkeypatch.setattr(quizzes, "assign", gone)
    page = trainer.submit("/assign/new", terms)
    assert page.status == 404 and "There is no such person." in page.text


def test_what_is_not_allowed_gives_a_403_and_not_a_form(trainer, people, store, terms, monkeypatch):
    def refused(*_given, **_more):
        raise NotAllowed(Text(en="Not your quiz.", es="No es su examen."))

    monkeypatch.setattr(quizzes, "assign", refused)
    assert trainer.submit("/assign/new", terms).status == 403


def test_the_preview_is_the_paper_that_is_then_assigned(sign_in, people, store):
    browser = sign_in(people.trainer)
    page = browser.get("/assign/new")
    token = page.soup.select_one("input[name=form_token]")["value"]
    fields = {
        "title": "Seen first", "people": [str(people.second.id)], "take-slab-size": "3", "questions": ["why-the-gap"],
        "weakest": "2", "numbers": "own", "pass_mark": "80", "hints": "none", "due_time": "17:00",
        "levels": ["1", "2"], "form_token": token,
    }  # fmt: skip
    page = browser.post("/assign/new", {**fields, "act": "preview"})
    shown = [one.get_text(" ", strip=True) for one in page.soup.select("#preview article p")]
    assert page.status == 200 and "The paper of Jess Lindqvist" in page.text and shown
    assert len(page.soup.select("#preview article")) == 6
    with store.read() as session:
        assert session.scalar(select(func.count()).select_from(Paper)) == 0  # nothing is stored
        assert session.scalar(select(func.count()).select_from(Quiz)) == 0
    kept = page.soup.select_one("main form input[name=form_token]")["value"]
    assert kept == token
    assert page.soup.select_one("details[open] [name=weakest]")  # what was set stands open, not folded away
    assert not browser.get("/assign/new").soup.select_one("details[open] [name=weakest]")
    plain = {**fields, "weakest": "0", "levels": ["1", "2", "3"], "opens_time": "07:00"}
    seen = browser.post("/assign/new", {**plain, "act": "preview"}).soup
    assert seen.select_one("#preview") and not seen.select_one("details[open] [name=weakest]")
    assert browser.post("/assign/new", fields).status == 303
    with store.read() as session:
        rows = session.scalars(select(PaperQuestion).order_by(PaperQuestion.position)).all()
    assert len(rows) == 6
    with browser.client.application.test_request_context():
        for row, article in zip(rows, page.soup.select("#preview article"), strict=True):
            text = " ".join(article.get_text(" ").split())
            asked_text = Draw.from_json(row.draw).text.en
            assert " ".join(asked_text.split())[:40] in text, (row.question, text)


def test_levels_hold_for_what_is_taken_at_random_but_for_what_must_be_right(sign_in, people, store, bank):
    of_skill = bank.of_skill("slab-size")
    fitting = [one for one in of_skill if one.level == 1 or one.must_pass]
    assert 0 < len(fitting) < len(of_skill)
    browser = sign_in(people.trainer)
    fields = {"title": "L", "people": [str(people.second.id)], "levels": ["1"]}
    page = browser.submit("/assign/new", {**fields, "take-slab-size": str(len(fitting) + 1)})
    assert page.errors and "were asked for" in page.text
    page = browser.submit("/assign/new", {**fields, "take-slab-size": str(len(fitting))})
    assert "Assigned to 1 person." in page.text
    with store.read() as session:
        asked = set(session.scalars(select(PaperQuestion.question)))
    assert asked == {one.id for one in fitting}


def test_a_question_is_made_one_that_must_be_right(trainer, people, store, terms, sign_in):
    plain = next(one.id for one in BANK.questions.values() if not one.must_pass and one.skills[0] == SKILL)
    decided = next(one.id for one in BANK.questions.values() if one.must_pass)
    page = trainer.get("/assign/new")
    offered = {box["value"] for box in page.soup.select("input[name=must]")}
    assert plain in offered and decided not in offered  # the bank says so already
    sent = {**terms, f"take-{SKILL}": "0", "questions": ["why-the-gap"], "must": [plain]}
    seen = trainer.submit("/assign/new", {**sent, "act": "preview"})
    headings = [one.get_text(" ", strip=True) for one in seen.soup.select("#preview h3")]
    assert [("must be right" in one) for one in headings] == [
        BANK.questions[name].must_pass for name in ("why-the-gap",)
    ] + [True]
    kept = {box["value"] for box in seen.soup.select("input[name=must][checked]")}
    assert kept == {plain}
    page = trainer.submit("/assign/new", sent)
    items = {item.a["href"].rsplit("/", 1)[-1]: item.text for item in page.soup.select("ol.list li")}
    assert "must be right" in items[plain]
    with store.read() as session:
        frozen = {
            one.question: (one.must_pass, one.draw["must_pass"])
            for one in session.scalars(select(PaperQuestion))
        }
    assert frozen[plain] == (True, True)
    hand = sign_in(people.apprentice)
    paper = hand.get("/papers/1")  # said before it is started
    many = sum(must for must, _ in frozen.values())
    assert f"{many} of them" in paper.text and "fails the paper when it is not" in paper.text
    hand.submit("/papers/1", {}, form="start")
    marks = ["This one must be right" in hand.get(f"/papers/1/{position}").text for position in (1, 2)]
    assert marks == [frozen["why-the-gap"][0], True]


def test_what_must_be_right_and_is_not_offered_is_refused(trainer, terms):
    page = trainer.submit("/assign/new", {**terms, "must": ["no-such-question"]})
    assert page.status == 200 and any("That is not offered here." in error for error in page.errors)


def test_a_quiz_that_opens_later_cannot_be_started_before(trainer, people, store, terms, clock, sign_in):
    # Monday 30 November, 7 in the morning in Denver, seven hours behind UTC in winter (IANA time zone database).
    page = trainer.submit("/assign/new", {**terms, "opens_day": "2026-11-30", "opens_time": "07:00"})
    opens = datetime(2026, 11, 30, 14, 0, tzinfo=UTC)
    ((row, _papers),) = assigned(store, people)
    assert row.opens == opens and "30 November 2026, 7:00 AM" in page.text.replace("\xa0", " ")
    hand = sign_in(people.apprentice)
    assert "opens Mon 30 Nov, 7:00 AM" in hand.get("/today").text.replace("\xa0", " ")
    paper = hand.get("/papers/1")
    assert "opens Mon 30 Nov, 7:00 AM" in paper.text.replace("\xa0", " ")
    assert not paper.soup.select("form[action$=start]")
    refused = hand.post("/papers/1/start")  # a page that was kept, or a clock that is wrong
    assert refused.status == 400 and "it cannot be started before" in refused.text
    assert hand.get("/papers/1/1").path == "/papers/1"
    clock.now = opens
    hand = sign_in(people.apprentice)
    assert "opens" not in hand.get("/today").soup.select_one("main").text
    page = hand.submit("/papers/1", {}, form="start")
    assert page.path == "/papers/1/1"


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"opens_day": "soon"}, "“soon” is no date; give one such as 2026-11-25."),
        ({"opens_day": "2026-11-30", "opens_time": ""}, "Give the time too."),
        ({"opens_day": "2026-12-01", "opens_time": "17:00"}, "The quiz would be due before it opens"),
    ],
)
def test_an_opening_that_cannot_be_is_said(trainer, terms, change, sentence):
    page = trainer.submit("/assign/new", {**terms, **change})
    assert page.status == 200 and any(sentence in error for error in page.errors), page.errors


def test_a_quiz_is_sat_again_after_the_wait(trainer, people, store, terms, clock, sign_in):
    sent = {
        **terms,
        "people": [str(people.apprentice.id)],
        "goes": "2",
        "wait": "24",
        "questions": ["why-the-gap"],
    }
    page = trainer.submit("/assign/new", {**sent, f"take-{SKILL}": "0"})
    assert "up to 2, 24 hours between" in page.text
    hand = sign_in(people.apprentice)
    assert "this is 1 of 2" in hand.get("/papers/1").text
    hand.submit("/papers/1", {}, form="start")
    hand.submit("/papers/1", {}, form="hand-in")
    page = hand.get("/papers/1")
    # Wednesday 25 November, 1:40 PM in the shop (the clock of these tests), and a day later.
    assert "Go 2 of 2 opens Thu 26 Nov, 1:40 PM" in page.text.replace("\xa0", " ")
    assert not page.soup.select("form[action$=again]")
    today = hand.get("/today").text.replace("\xa0", " ")
    assert "opens Thu 26 Nov, 1:40 PM" in today and "go 2 of 2" in today
    early = hand.post("/papers/1/again")
    assert early.status == 400 and "it cannot be started before" in early.text
    clock.now += timedelta(days=1)
    hand = sign_in(people.apprentice)
    assert "may be sat again" in hand.get("/today").text
    page = hand.submit("/papers/1", {}, form="again")
    assert page.path == "/papers/2" and "this is 2 of 2" in page.text
    assert hand.post("/papers/1/again").location == "/papers/2"  # the button pressed twice
    rows = sign_in(people.trainer).get("/assign/1").soup.select("tbody th")
    assert ["go 1 of 2" in rows[0].text, "go 2 of 2" in rows[1].text] == [True, True]


def test_a_quiz_between_two_goes_can_be_taken_back(trainer, people, store, terms, clock, sign_in):
    sent = {**terms, "people": [str(people.apprentice.id)], "goes": "3", "wait": "0"}
    trainer.submit("/assign/new", sent)
    hand = sign_in(people.apprentice)
    hand.submit("/papers/1", {}, form="start")
    hand.submit("/papers/1", {}, form="hand-in")
    assert hand.get("/papers/1").soup.select("form[action$=again]")
    page = sign_in(people.trainer).submit("/assign/1", {}, form="take-back")
    assert "nobody begins a further go" in page.text and not page.soup.select("form[action$=take-back]")
    hand = sign_in(people.apprentice)
    assert not hand.get("/papers/1").soup.select("form[action$=again]")
    refused = hand.post("/papers/1/again")
    assert refused.status == 400 and "no further go" in refused.text


def test_a_quiz_that_repeats_is_stopped_with_one_tap(trainer, people, store, terms, clock, sign_in):
    sent = {**terms, "opens_day": "2026-11-30", "opens_time": "07:00", "weekly": "y", "until": "2027-03-01"}
    page = trainer.submit("/assign/new", sent)
    assert "repeats each week" in page.text and "The last may begin on 1 March 2027." in page.text
    assert "The next one is made on Mon 7 Dec, 7:00 AM." in page.text.replace("\xa0", " ")
    clock.now = datetime(2026, 12, 7, 14, 0, tzinfo=UTC)  # seven in the morning in Denver
    assert weekly.make(store, clock.now, lambda: trainer.client.application.extensions[CONTENT]) == [2]
    trainer = sign_in(people.trainer)
    page = trainer.get("/assign/2")
    assert "This is number 2." in page.text and "8 December 2026, 5:00 PM" in page.text.replace("\xa0", " ")
    assert trainer.get("/assign").text.count("repeats each week") == 2
    assert "First week" in sign_in(people.apprentice).get("/today").text
    trainer = sign_in(people.trainer)
    page = trainer.submit("/assign/2", {}, form="stop")
    assert "Stopped. No further quiz is made" in page.text and "stopped on 7 December 2026" in page.text
    assert not page.soup.select("form[action$=stop]")
    assert weekly.make(store, clock.now + timedelta(weeks=3)) == []


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        ({"until": "2027-03-01"}, "This day is for a quiz that repeats each week; tick that too"),
        ({"weekly": "y", "until": "2026-11-26"}, "Until that day no second quiz would come"),
        ({"weekly": "y", "until": "later"}, "“later” is no date"),
    ],
)
def test_a_repeat_that_cannot_be_is_said(trainer, people, store, terms, change, sentence):
    page = trainer.submit("/assign/new", {**terms, **change})
    assert page.status == 200 and any(sentence in error for error in page.errors), page.errors
    assert not assigned(store, people)


def test_what_each_is_weakest_in_is_asked_of_the_skill_picture_of_that_day(
    trainer, people, store, terms, clock
):
    sent = {**terms, f"take-{SKILL}": "0", "due_day": "", "weekly": "y", "weakest": "2", "questions": []}
    trainer.submit("/assign/new", sent)
    clock.now += timedelta(weeks=1)
    (new,) = weekly.make(store, clock.now)
    with store.read() as session:
        papers = session.scalars(select(Paper).where(Paper.quiz_id == new)).all()
        asked = [
            session.scalar(select(func.count()).where(PaperQuestion.paper_id == one.id)) for one in papers
        ]
    assert asked == [2, 2]


def test_the_skills_stand_under_their_lessons_and_what_is_chosen_is_open(sign_in, people):
    trainer = sign_in(people.trainer)
    page = trainer.get("/assign/new")
    lessons = [group.summary.span.find(string=True).strip() for group in page.soup.select(".of-lesson")]
    order = dict.fromkeys(skill.lesson for skill in shipped_bank().skills.values())
    assert lessons == [shipped_content().library.title(lesson).en for lesson in order]
    assert len(page.soup.select(".of-lesson select")) == len(shipped_bank().skills)
    assert not page.soup.select(".of-lesson[open]")
    sent = trainer.submit("/assign/new", {"take-ladder-setup": "2"})
    assert sent.errors and [
        one.summary.span.find(string=True).strip() for one in sent.soup.select(".of-lesson[open]")
    ] == [shipped_content().library.title(shipped_bank().skills["ladder-setup"].lesson).en]
