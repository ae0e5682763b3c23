"""The shipped lessons under every standard that a shop may set: shown whole, with a refusal in its place where one is due."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

import pytest
from bs4 import BeautifulSoup

from tests.pages import words
from tests.shipped import shipped_bank, shipped_lessons
from trainer.calc import DEFAULT_SHOP
from trainer.calc.standard import FIELDS, check, check_all
from trainer.errors import Refusal
from trainer.lessons import Library, Renderer
from trainer.questions import draw


def legal(name: str, value: object) -> bool:
    try:
        check(name, value)
    except Refusal:
        return False
    return True


def ends(name: str) -> list[Any]:
    """The least and the greatest value of a field that are taken, to a sixteenth."""
    field = FIELDS[name]
    if field.choices:
        return list(field.choices)
    steps = int((field.high - field.low) * 16)
    taken = [value for step in range(steps + 1) if legal(name, value := field.low + step / 16)]
    return [taken[0], taken[-1]]


STANDARDS = [(name, value) for name in FIELDS for value in ends(name)]


def test_the_ends_are_ends():
    # Farmers' Bulletin 1889: 1 in of overhang at the least; ASTM C1283: 2 in of edge.
    assert ("overhang", 1.0) in STANDARDS and ("edge_thickness", 2.0) in STANDARDS
    assert ("edge_thickness", 24.0) in STANDARDS and len(STANDARDS) > 20


@pytest.fixture(scope="module")
def renderer() -> Renderer:
    return Renderer(shipped_lessons(), shipped_bank())


def shop_with(name: str, value: Any) -> dict[str, Any]:
    """The standard with one field at an end."""
    shop = DEFAULT_SHOP | {name: value}
    try:
        check_all(shop)
    except Refusal:  # a pair of heights that goes the wrong way: both move, as far as both may
        both = min(max(float(value), ends("projection")[0]), ends("max_projection")[1])
        shop |= {"projection": both, "max_projection": both}
        check_all(shop)
    return shop


@pytest.mark.parametrize(("name", "value"), STANDARDS)
def test_every_check_question_can_be_asked(renderer: Renderer, name: str, value: Any) -> None:
    """Else nobody of that shop could have read the lesson."""
    shop = shop_with(name, value)
    assert renderer.bank is not None
    for id in renderer.library.ids:
        for question in renderer.library.lesson(id).check:
            assert draw(renderer.bank.questions[question], 10**9 + 1, shop).question_id == question


@pytest.mark.parametrize(("name", "value"), STANDARDS)
def test_every_lesson_is_shown(renderer: Renderer, name: str, value: Any) -> None:
    shop = shop_with(name, value)
    for id in renderer.library.ids:
        for language in ("en", "es"):
            rendered = renderer.render(id, shop, language)
            assert rendered.problems == ()
            assert "{{" not in rendered.html
            text = words(rendered.html)
            # A value that cannot be had stands as a dash, and then its reason stands there too.
            if re.search(r" – (?!\d)", text):
                assert "this shop's figures" in text or "las cifras de este taller" in text, (id, language)


def test_a_refusal_stands_where_the_sum_would(renderer: Renderer) -> None:
    """A crown 24 in thick at its edge is thicker than the lesson's crown at its flue."""
    page = BeautifulSoup(
        renderer.render("crown-geometry", DEFAULT_SHOP | {"edge_thickness": 24.0}).html, "html.parser"
    )
    (first, *_) = page.select("aside.caution-notice p:not(.signal-word)")
    assert (
        "This example does not work with this shop's figures: the thickness at the flue, 6.5 in, is under the one at the edge, 24 in"
        in first.get_text()
    )


def test_an_example_takes_a_value_from_an_earlier_one(changed_course: Callable[..., Library]) -> None:
    bags = '[example.bags]\ncalculation = "concrete.bags"\ninputs = { volume = "example:slab.volume" }\n'
    first = ("+++\n\n", f"{bags}+++\n\n")
    library = changed_course("en/first.md", first)
    assert library.problems == ()
    lesson = library.lesson("first")
    assert lesson.examples["bags"].taken == {"volume": ("slab", "volume")}
    for wrong in ("example:slab.weight", "example:wall.volume", "example:slab.nothing", "example:"):
        library = changed_course("en/first.md", (first[0], first[1].replace("example:slab.volume", wrong)))
        (problem,) = library.problems
        assert f"{wrong!r} is no value of an earlier example in the unit of volume" in str(problem)
