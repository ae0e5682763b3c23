"""The words of the trade: one page in both languages, and the words of a lesson at its end."""

from __future__ import annotations

import pytest

from tests.shipped import shipped_lessons

TERMS = shipped_lessons().glossary.terms


@pytest.mark.parametrize("language", ["en", "es"])
def test_the_glossary_shows_every_word_in_both_languages(sign_in, people, language):
    soup = sign_in(people.apprentice, language).get("/glossary").soup
    rows = {str(row["id"]): row for row in soup.select("dl.glossary dt")}
    assert set(rows) == set(TERMS)
    for id, row in rows.items():
        term, other = TERMS[id], "en" if language == "es" else "es"
        assert row.dfn.get_text() == term.name.in_language(language)
        assert row.select_one(f"[lang={other}]").get_text() == term.name.in_language(other)
        meaning = row.find_next_sibling("dd")
        assert term.meaning.en in meaning.get_text() and term.meaning.es in meaning.get_text()
    letters = [str(link["href"]) for link in soup.select("nav.letters a")]
    assert len(letters) > 15 and all(soup.select_one(href) for href in letters)


def test_the_words_of_a_lesson_lead_to_the_glossary(sign_in, people):
    browser = sign_in(people.apprentice)
    lesson = browser.get("/lessons/crown-geometry").soup
    words = lesson.select("article.lesson section.terms dt")
    assert len(words) > 10
    for word in words:
        id = str(word["id"]).removeprefix("term-")
        assert word.a["href"] == f"/glossary#{id}" and lesson.select_one(f'a.term[href="#term-{id}"]')


def test_the_list_of_lessons_leads_there(sign_in, people):
    assert sign_in(people.apprentice).get("/lessons").soup.select_one('main a[href="/glossary"]')
