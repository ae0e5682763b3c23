"""The lessons: the list, one lesson, the noted reading, and every link in every lesson."""

from __future__ import annotations

from urllib.parse import urlsplit, urlunsplit

import pytest

from tests.shipped import shipped_lessons

LIBRARY = shipped_lessons()


@pytest.fixture
def hire(sign_in, people):
    return sign_in(people.apprentice)


def test_the_list_stands_in_the_order_of_the_course(hire):
    page = hire.get("/lessons")
    links = [link["href"] for link in page.soup.select("ul.list a")]
    assert links == [f"/lessons/{lesson}" for lesson in LIBRARY.ids]
    assert page.text.count("– not read") == len(LIBRARY.ids)


def test_a_lesson_has_its_figures_working_cautions_and_things_to_try(hire):
    soup = hire.get("/lessons/crown-geometry").soup
    lesson = soup.select_one("article.lesson")
    assert lesson.select("figure.drawing svg title") and lesson.select("ol.working li")
    assert lesson.select("aside.caution .signal-word") and lesson.select("ul.tries a")
    assert len(soup.select("h1")) == 1 and not lesson.select("script, style, [style]")


def test_the_figures_follow_the_shop_standard(sign_in, people):
    owner = sign_in(people.owner)
    assert "This shop's overhang is 2 in." in owner.get("/lessons/crown-geometry").text
    owner.submit("/standard", {"overhang": "2 1/2 in"})
    text = owner.get("/lessons/crown-geometry").text
    assert "This shop's overhang is 2 1/2 in." in text and "overhang is 2 in." not in text


def press(hire, lesson="crown-geometry"):
    """Press the button that a reader without scripts sees at the end of the section they are in."""
    page = hire.get(f"/lessons/{lesson}")
    shown = [form for form in page.soup.select(".section-end form") if not form.has_attr("hidden")]
    assert len(shown) == 1
    fields = {item["name"]: item["value"] for item in shown[0].select("input")}
    return hire.post(shown[0]["action"], fields)


def test_each_section_is_gone_on_from_by_its_button_and_the_place_is_kept(hire, sign_in, people):
    sections = LIBRARY.lesson("crown-geometry").sections
    page = hire.get("/lessons/crown-geometry")
    assert f"0 of {len(sections)} sections read" in page.text and "Go on where you stopped" not in page.text
    assert press(hire).location == f"/lessons/crown-geometry#{sections[1]}"
    assert press(hire).location == f"/lessons/crown-geometry#{sections[2]}"
    page = hire.get("/lessons/crown-geometry")
    assert f"2 of {len(sections)} sections read" in page.text
    assert page.soup.select_one("progress")["value"] == "2"
    assert page.soup.find("a", string="Go on where you stopped")["href"] == f"#{sections[2]}"
    # The list and the page of the day lead back there.
    for path in ("/lessons", "/today"):
        way = hire.get(path).soup.find("a", string="Go on: Crown geometry")
        assert way["href"] == f"/lessons/crown-geometry#{sections[2]}"
    assert f"2 of {len(sections)} sections · 0 of 3 check questions right" in hire.get("/lessons").text
    assert "begun" not in sign_in(people.second).get("/lessons").text


def answer_checks(hire, acts, person, lesson="crown-geometry", questions=None):
    """Answer the check questions as a person would, each right at once."""
    ref = acts.lesson(lesson)
    for question in questions or ref.check:
        _attempt, asked = acts.check_draw(person, ref, question)
        page = hire.submit(f"/lessons/{lesson}/check/{question}", acts.fields(asked, acts.right(asked)))
        assert "✓ Right" in page.text, page.text
    return page


def test_it_counts_when_it_is_read_to_the_end_and_its_check_questions_are_right(hire, people, acts):
    for _section in LIBRARY.lesson("crown-geometry").sections[:-1]:
        press(hire)
    page = answer_checks(hire, acts, people.apprentice)
    assert "counts as read" not in page.text
    assert page.soup.find("a", string="Go on reading")["href"] == "/lessons/crown-geometry#sources"
    assert "1 section is still to read" in hire.get("/lessons/crown-geometry").text
    assert hire.get("/lessons").text.count("✓ read") == 0
    assert press(hire).location == "/lessons/crown-geometry#check-questions"
    page = hire.get("/lessons/crown-geometry")
    assert "You read this lesson on 25 November 2026." in page.text and not page.soup.select("main form")
    assert page.soup.find("a", string="Next lesson: Bond breaks")["href"] == "/lessons/bond-breaks"
    assert hire.get("/lessons").text.count("✓ read") == 1


def test_the_last_right_answer_says_that_it_counts(hire, people, acts):
    ref = acts.lesson("crown-geometry")
    acts.read_sections(people.apprentice, ref, len(ref.sections))
    page = answer_checks(hire, acts, people.apprentice)
    assert "This lesson counts as read, at version 1." in page.text
    assert page.soup.find("a", string="Next lesson: Bond breaks")


def test_a_wrong_answer_gets_help_and_another_go_with_new_numbers(hire, people, acts):
    address = "/lessons/crown-geometry/check/crown-slab-length"
    first = hire.get(address)
    ref = acts.lesson("crown-geometry")
    asked = acts.check_draw(people.apprentice, ref, "crown-slab-length")[1]
    assert asked.text.en in first.text and "Hint 1" in first.text
    assert hire.get(address).soup.select_one(".q-text").text == first.soup.select_one(".q-text").text
    page = hire.submit(address, {"answer": str(asked.body.slips[0].value)})
    assert (
        "Not right" in page.text and asked.body.slips[0].text.en in page.text and "The working" in page.text
    )
    assert page.soup.find("a", string="Try again, new numbers")["href"] == address
    again = hire.get(address)
    assert again.soup.select_one(".q-text").text != first.soup.select_one(".q-text").text
    assert "try again" in hire.get("/lessons/crown-geometry").text
    page = answer_checks(hire, acts, people.apprentice, questions=["crown-slab-length"])
    assert "Next check question" in page.text
    page = hire.get(address)
    assert "You have answered this question right." in page.text and not page.soup.select("main form")


def test_what_cannot_be_read_is_said_and_costs_no_try(hire, people, acts):
    address = "/lessons/crown-geometry/check/crown-slab-length"
    page = hire.submit(address, {"answer": "4,5"})
    field = page.soup.select_one("input[name=answer]")
    assert field["value"] == "4,5" and page.soup.select(".error")
    assert acts.check_draw(people.apprentice, acts.lesson("crown-geometry"), "crown-slab-length")[0] == 1


def test_an_answer_whose_help_was_seen_does_not_count(hire, people, acts):
    """Back to the page before, and the right answer typed there: the numbers are new by then."""
    address = "/lessons/crown-geometry/check/crown-slab-length"
    ref = acts.lesson("crown-geometry")
    asked = acts.check_draw(people.apprentice, ref, "crown-slab-length")[1]
    form = hire.get(address).soup.select_one("main form")
    fields = {item["name"]: item.get("value", "") for item in form.select("input[name]")}
    assert hire.post(address, fields | {"answer": "1"}).status == 200
    repeated = hire.post(address, fields | {"answer": "1"})
    assert repeated.status == 200 and "Not right" in repeated.text
    seen = hire.post(address, fields | {"answer": asked.answer("en")})
    assert seen.location == address
    assert "here it is with new ones" in hire.get(address).text
    assert acts.check_draw(people.apprentice, ref, "crown-slab-length")[0] == 2


@pytest.mark.parametrize(
    "path",
    [
        "/lessons/crown-geometry/check/why-the-gap",
        "/lessons/the-moon/check/why-the-gap",
        "/lessons/x/check/y",
    ],
)
def test_a_check_question_that_the_lesson_does_not_ask(hire, path):
    assert hire.get(path).status == 404


def test_a_section_ahead_of_the_next_is_not_noted(hire):
    sent = {"version": "1", "section": "sources"}
    answer = hire.post("/lessons/crown-geometry/section", sent)
    assert answer.location == "/lessons/crown-geometry"
    assert "Sections before this one are not read yet." in hire.get("/lessons/crown-geometry").text
    assert hire.post("/lessons/crown-geometry/section", sent | {"section": "nowhere"}).status == 404


def test_a_script_is_told_what_comes_next(hire):
    def send(section):
        data = {"version": "1", "section": section, "csrf_token": hire.token()}
        return hire.client.post(
            "/lessons/crown-geometry/section", data=data, headers={"Accept": "application/json"}
        )

    assert send("aim").get_json() == {"next": "why"}
    assert (send("drip").status_code, send("drip").get_json()) == (
        409,
        {"said": "Sections before this one are not read yet."},
    )


def test_a_lesson_that_changed_since_asks_to_be_read_again(hire, people, acts):
    acts.read(people.apprentice, "crown-geometry", version=0)
    assert "changed since you read it" in hire.get("/lessons").text
    page = hire.get("/lessons/crown-geometry")
    assert "has changed since you read it" in page.text and page.soup.select("form[action$='/section']")


def test_what_is_to_be_read_before_is_shown(hire, people, acts):
    text = hire.get("/lessons/bond-breaks").text
    assert "Read before this: Crown geometry – not read" in text
    acts.read(people.apprentice, "crown-geometry")
    assert "Read before this: Crown geometry ✓ read" in hire.get("/lessons/bond-breaks").text
    first = LIBRARY.ids[0]
    assert "Read before this" not in hire.get(f"/lessons/{first}").text


def test_the_way_to_the_lessons_before_and_after(hire):
    for place, lesson in enumerate(LIBRARY.ids):
        soup = hire.get(f"/lessons/{lesson}").soup
        before, after = soup.select_one("a[rel=prev]"), soup.select_one("a[rel=next]")
        assert (before and before["href"]) == (f"/lessons/{LIBRARY.ids[place - 1]}" if place else None)
        last = place + 1 == len(LIBRARY.ids)
        assert (after and after["href"]) == (None if last else f"/lessons/{LIBRARY.ids[place + 1]}")


@pytest.mark.parametrize("path", ["/lessons/the-moon", "/lessons/../x"])
def test_a_lesson_that_does_not_exist(hire, path):
    assert hire.get(path).status == 404


def test_a_section_of_a_lesson_that_does_not_exist(hire):
    assert hire.post("/lessons/the-moon/section", {"version": "1", "section": "aim"}).status == 404


def test_a_lesson_that_changed_while_it_was_open_is_not_noted_as_read(hire, store):
    """What is noted is the version on the page that was read, never a newer one that nobody has seen."""
    for sent in ("0", "2", "", "1 x"):
        answer = hire.post("/lessons/crown-geometry/section", {"version": sent, "section": "aim"})
        assert answer.location == "/lessons/crown-geometry"
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM lesson_place").scalar() == 0
    told = hire.get("/account").soup.select_one(".flash").get_text()
    assert told.startswith("This lesson has changed since you opened it: version 1 stands now.")


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_link_in_every_lesson_leads_to_a_page(sign_in, people, language):
    browser = sign_in(people.apprentice, language)
    seen: set[str] = set()
    for lesson in LIBRARY.ids:
        soup = browser.get(f"/lessons/{lesson}").soup
        article = soup.select_one("article.lesson")
        assert article["lang"] == language, f"{lesson} is not in {language}"
        for link in article.select("a[href]"):
            parts = urlsplit(link["href"])
            if parts.scheme:
                assert parts.scheme == "https", link
            elif not parts.path:
                assert soup.find(id=parts.fragment), f"{lesson}: nothing is called #{parts.fragment}"
            else:
                seen.add(urlunsplit(parts._replace(fragment="")))
    kinds = {urlsplit(path).path.split("/")[1] for path in seen}
    assert kinds == {"lessons", "practice", "calculations", "glossary"} and len(seen) > 30
    broken = {path: status for path in sorted(seen) if (status := browser.get(path).status) != 200}
    assert not broken


def test_statements_of_the_pages(hire, people, acts, count_statements, crowd):
    acts.read(people.apprentice, "crown-geometry")
    crowd(36)
    for path in (
        "/lessons",
        "/lessons/crown-geometry",
        "/lessons/bond-breaks",
        "/lessons/bond-breaks/check/why-the-gap",
    ):
        hire.get(path)
        with count_statements() as seen:
            hire.get(path)
        assert 0 < len(seen) <= 20
