"""Nothing in a question file is run: the known ways out of a template are refused in every field that holds one, and no
expression in any other field is worked out."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest

from tests.questions.test_template import ESCAPES
from trainer.questions import Bank, load_bank
from trainer.questions.template import BadTemplate, fill

SHIPPED = Path(__file__).parents[2] / "question_bank"
# More of the published ways, with the filters and globals that the template language brings along.
MORE = (
    "{{ x|attr('\\x5f\\x5fclass\\x5f\\x5f') }}",
    "{{ x|map(attribute='__class__')|list }}",
    "{{ x|string|format(x) }}",
    "{{ ('__cla' ~ 'ss__') }}",
    "{{ x[('__cla','ss__')|join] }}",
    "{{ x.__getattribute__('__class__') }}",
    "{{ joiner.__init__.__globals__ }}",
    "{{ namespace.__init__.__globals__ }}",
    "{{ dict.__base__ }}",
    "{{ dict(a=1) }}",
    "{{ cycler('a', 'b').next() }}",
    "{{ lipsum(n=100000) }}",
    "{{ get_flashed_messages.__globals__ }}",
    "{{ url_for.__globals__ }}",
    "{{ request.application.__globals__ }}",
    "{{ f.__closure__ }}",
    "{{ f.__wrapped__ }}",
    "{{ f('a').__class__ }}",
    "{{ f('a')|upper }}",
    "{{ x if x else x }}",
    "{{ x is defined }}",
    "{{ x and f('a') }}",
    "{{ not x }}",
    "{{ -1 }}",
    "{{ true }}",
    "{{ none }}",
    "{{ {} }}",
    "{{ x[0] }}",
    "{{ x[:1] }}",
    "{{ x.a.b }}",
    "{{ f(a='b') }}",
    "{{ f(**x) }}",
    "{{ f(x) }}",
    "{{ f('a')('b') }}",
    "{{ x.f('a') }}",
    "{{ loop }}",
    "{{ super() }}",
    "{{ caller() }}",
    "{% if x %}a{% endif %}",
    "{% raw %}{{ x }}{% endraw %}",
    "{% extends 'base.html' %}",
    "{% block a %}{% endblock %}",
    "{% call f() %}{% endcall %}",
    "{% filter upper %}a{% endfilter %}",
    "{% from 'os' import system %}",
    "{% with a = x %}{{ a }}{% endwith %}",
    "{% autoescape true %}{{ x }}{% endautoescape %}",
    "{% debug %}",
    "{% do x.append(1) %}",
    "{% print(x) %}",
)


@pytest.mark.parametrize("text", MORE)
def test_nothing_but_places_is_taken(text: str) -> None:
    with pytest.raises(BadTemplate):
        fill(text, {"x": {"a": "2 in"}, "f": lambda *texts: "called"})


def _question(id: str) -> Path:
    (found,) = (SHIPPED / "questions").rglob(f"{id.rpartition('/')[2]}.toml")
    return found


def _with(folder: Path, path: Path, before: str, put: str) -> Bank:
    """The shipped skills and faults, and one question with `put` written straight after `before`."""
    bank = folder / "bank"
    at = bank / path.relative_to(SHIPPED)
    at.parent.mkdir(parents=True, exist_ok=True)
    for each in SHIPPED.glob("*.toml"):
        shutil.copy(each, bank)
    text = path.read_text(encoding="utf-8")
    assert before in text, (path.name, before)
    at.write_text(text.replace(before, before + put, 1), encoding="utf-8")
    return load_bank(bank)


def _inside(text: str) -> str:
    """`text` as it stands within a basic string of the file."""
    return json.dumps(text, ensure_ascii=False)[1:-1]


def _fields() -> list[tuple[str, str]]:
    """(question, what stands before the text) of one question of each kind: each place where an English text begins."""
    found = []
    for id in ("crown-slab-length", "take-off-one-tile", *_one_of("choose", "several", "order")):
        text = _question(id).read_text(encoding="utf-8")
        for mark in ('en = """', 'en = "', 'en = ["', '{ en = "'):
            start = 0
            while (at := text.find(mark, start)) >= 0:
                before = text[max(0, text.rfind("\n\n", 0, at)) : at + len(mark)]
                plain = (
                    text[at + len(mark) : at + len(mark) + 2] != '""'
                )  # else it is the mark of a long text
                if plain and text.count(before) == 1:
                    found.append((id, before))
                start = at + 1
    return list(dict.fromkeys(found))


def _one_of(*kinds: str) -> list[str]:
    bank = load_bank(SHIPPED)
    return [next(one.id for one in bank.questions.values() if one.kind == kind) for kind in kinds]


@pytest.mark.parametrize(("id", "before"), _fields())
def test_every_text_of_a_question_file_refuses_the_ways_out(tmp_path: Path, id: str, before: str) -> None:
    """A file with one of them is left out and named; the plain text there is read, so the field is the one meant."""
    assert _with(tmp_path, _question(id), before, "Plain. ").problems == ()
    for escape in (
        "{{ x.__class__ }}",
        "{{ cycler.__init__.__globals__ }}",
        "{{ chimney_length|attr('a') }}",
    ):
        bank = _with(tmp_path, _question(id), before, _inside(escape))
        assert bank.questions == {} and len(bank.problems) >= 1, (id, before, escape)
        assert {problem.path for problem in bank.problems} == {str(_question(id).relative_to(SHIPPED))}, (
            bank.problems
        )


CODE = (
    "2 * 3",
    "2**9",
    "__import__('os')",
    "max(2, 3)",
    "{{ 2 }}",
    "2 if True else 3",
    "exec('1')",
    "\u00d7 2",
)


@pytest.mark.parametrize("code", CODE)
@pytest.mark.parametrize(
    ("before", "after"),
    [
        ('low = "36 in"', 'low = "{}"'),
        ('step = "1/2 in"', 'step = "{}"'),
        ('list = ["2 in", "2 1/2 in", "3 in"]', 'list = ["{}"]'),
        ('tolerance = "1/8 in"', 'tolerance = "{}"'),
        ('result = "slab_length"', 'result = "{}"'),
        ('calculation = "crown.slab"', 'calculation = "{}"'),
        ('unit = "in"', 'unit = "{}"'),
        ('change = { overhang = "half" }', 'change = { overhang = "{}" }'),
        ('change = { overhang = "half" }', 'change = { overhang = "half" }\ntimes = "{}"'),
        ('name = "crown.plan"', 'name = "{}"'),
        ('low = "36 in"\nhigh = "78 in"', 'low = "{}"\nhigh = "78 in"'),
    ],
)
def test_no_expression_in_a_file_is_worked_out(tmp_path: Path, code: str, before: str, after: str) -> None:
    """A figure, a unit or a name that is code is no figure, unit or name: the file is left out, and nothing runs."""
    path = _question("crown-slab-length")
    text = path.read_text(encoding="utf-8")
    assert before in text
    at = tmp_path / "bank" / "questions" / "crown" / path.name
    at.parent.mkdir(parents=True)
    shutil.copy(SHIPPED / "skills.toml", tmp_path / "bank")
    at.write_text(text.replace(before, after.replace("{}", code.replace('"', "'")), 1), encoding="utf-8")
    bank = load_bank(tmp_path / "bank")
    assert bank.questions == {} and bank.problems
    assert all("Traceback" not in problem.sentence for problem in bank.problems)


def test_the_lists_are_of_many_different_ways() -> None:
    assert len({*ESCAPES, *MORE}) == len(ESCAPES) + len(MORE)
