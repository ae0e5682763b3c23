"""Texts with places: what fills them, and that nothing in them can run."""

from __future__ import annotations

import pytest

from trainer.questions.template import BadTemplate, fill, names, places

# The ways out of a template sandbox that are published for this template language: attributes of a value up to the
# object class, globals of a function, format strings, loops and arithmetic that eat memory, imports of other files.
ESCAPES = (
    "{{ x.__class__ }}",
    "{{ x.__class__.__mro__[1].__subclasses__() }}",
    "{{ ''.__class__.__base__ }}",
    "{{ x['__class__'] }}",
    "{{ x|attr('__class__') }}",
    "{{ '%c'|format(95) }}",
    "{{ '{0.__class__}'.format(x) }}",
    "{{ x.format(x) }}",
    "{{ f.__globals__ }}",
    "{{ f.__code__.co_code }}",
    "{{ f.__init__.__globals__ }}",
    "{{ cycler.__init__.__globals__.os }}",
    "{{ lipsum.__globals__['os'].popen('id').read() }}",
    "{{ self.__init__ }}",
    "{{ self }}",
    "{{ config }}",
    "{{ range(1000000000) }}",
    "{{ 'a' * 1000000000 }}",
    "{{ 9 ** 9 ** 9 }}",
    "{% for a in x %}{{ a }}{% endfor %}",
    "{% set y = x %}{{ y }}",
    "{% include '/etc/passwd' %}",
    "{% import 'os' as os %}",
    "{% macro m() %}{% endmacro %}{{ m() }}",
    "{{ f(f) }}",
    "{{ f(*x) }}",
    "{{ (f)() if x }}",
    "{{ [x] }}",
    "{{ x ~ x }}",
    "{{ 9 }}",
    "{{ f(9) }}",
    "{{ cls() }}",
    "{{ x }",
    "{{ x",
)


@pytest.mark.parametrize("text", ESCAPES)
def test_nothing_but_places_is_taken(text: str) -> None:
    with pytest.raises(BadTemplate):
        fill(text, {"x": "2 in", "f": lambda *texts: "called", "cls": dict})


def test_places_are_filled() -> None:
    values = {
        "overhang": "2 in",
        "slab": {"items": "44 1/2 in"},
        "position": lambda field, source: f"{source}:{field}",
    }
    text = 'over {{ overhang }}, {{ slab.items }}, {{ position("overhang", "bia-1993") }} {#id}'
    assert fill(text, values) == "over 2 in, 44 1/2 in, bia-1993:overhang {#id}"
    assert places(text) == {"overhang", "slab.items", "position(overhang, bia-1993)"}
    assert names(text) == {"overhang", "slab", "position"}


def test_a_value_is_never_read_as_a_template() -> None:
    assert fill("{{ x }}", {"x": "{{ x.__class__ }}"}) == "{{ x.__class__ }}"


@pytest.mark.parametrize("text", ["{{ missing }}", "{{ slab.missing }}", "{{ x.upper }}"])
def test_a_place_without_a_value_is_a_mistake(text: str) -> None:
    with pytest.raises(BadTemplate, match="no value"):
        fill(text, {"x": "a", "slab": {}})
