"""The lessons: the list, one lesson, the noted reading, and every link in every lesson."""

from __future__ import annotations

import dataclasses
from urllib.parse import urlsplit, urlunsplit

import pytest

from trainer.lessons import load_lessons
from trainer.web.content import CONTENT

LIBRARY = load_lessons()


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


def test_reading_is_noted_once_with_its_day(hire, people, store, clock):
    page = hire.submit("/lessons/crown-geometry", {}, form="/read")
    assert page.path == "/lessons/crown-geometry"
    assert "You read this lesson on 25 November 2026." in page.text and not page.soup.select("main form")
    assert (
        hire.post("/lessons/crown-geometry/read", {"version": "1"}).location == "/lessons/crown-geometry#read"
    )
    assert hire.get("/lessons").text.count("✓ read") == 1


def test_a_lesson_that_changed_since_asks_to_be_read_again(hire, people, acts):
    acts.read(people.apprentice, "crown-geometry", version=0)
    assert "changed since you read it" in hire.get("/lessons").text
    page = hire.get("/lessons/crown-geometry")
    assert "has changed since you read it" in page.text and page.soup.select("form[action$='/read']")


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


def test_marking_a_lesson_that_does_not_exist(hire):
    assert hire.post("/lessons/the-moon/read").status == 404


def test_a_lesson_that_changed_while_it_was_open_is_not_noted_as_read(hire, store, app, monkeypatch):
    """What is noted is the version on the page that was read, never a newer one that nobody has seen."""
    opened = hire.get("/lessons/crown-geometry").soup.select_one("#read input[name=version]")["value"]
    assert opened == "1"
    library = app.extensions[CONTENT].library
    newer = dataclasses.replace(library.lesson("crown-geometry"), version=2)
    real = type(library).lesson
    monkeypatch.setattr(
        type(library), "lesson", lambda self, id, *more: newer if id == newer.id else real(self, id, *more)
    )
    for sent in (opened, "", "1 "):
        answer = hire.client.post(
            "/lessons/crown-geometry/read", data={"csrf_token": hire.token(), "version": sent}
        )
        assert answer.location == "/lessons/crown-geometry"
    with store.engine.connect() as connection:
        assert connection.exec_driver_sql("SELECT count(*) FROM lesson_reading").scalar() == 0
    told = hire.get("/account").soup.select_one(".flash").get_text()
    assert told.startswith("This lesson has changed since you opened it: version 2 stands now.")


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
    for path in ("/lessons", "/lessons/crown-geometry"):
        hire.get(path)
        with count_statements() as seen:
            hire.get(path)
        assert 0 < len(seen) <= 20
