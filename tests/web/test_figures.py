"""Each drawing of a lesson stands on a page of its own, large, without a script."""

from __future__ import annotations

import pytest

from tests.shipped import shipped_lessons

LIBRARY = shipped_lessons()


@pytest.mark.parametrize("language", ["en", "es"])
def test_every_drawing_can_be_enlarged(sign_in, people, language):
    browser = sign_in(people.apprentice, language)
    for lesson in LIBRARY.ids:
        page = browser.get(f"/lessons/{lesson}").soup
        figures = page.select("article.lesson figure.drawing")
        links = [str(link["href"]) for link in page.select("article.lesson .enlarge a")]
        assert figures and links == [
            f"/lessons/{lesson}/figures/{number}" for number in range(1, len(figures) + 1)
        ]
        large = browser.get(links[-1]).soup
        shown = large.select_one("figure.enlarged")
        assert shown.svg.title.get_text() == figures[-1].svg.title.get_text()
        assert shown.figcaption.get_text() == figures[-1].figcaption.get_text()
        back = large.select_one(f'main a[href^="/lessons/{lesson}#"]')["href"].partition("#")[2]
        assert page.find(id=back) is figures[-1]
        assert bool(large.select_one("a[rel=prev]")) == (len(figures) > 1) and not large.select("a[rel=next]")


@pytest.mark.parametrize(
    "path", ["crown-geometry/figures/0", "crown-geometry/figures/99", "the-moon/figures/1"]
)
def test_a_drawing_that_does_not_exist(sign_in, people, path):
    assert sign_in(people.apprentice).get(f"/lessons/{path}").status == 404
