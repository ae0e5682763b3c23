"""Reading a bank: every mistake in a file gets its line and a sentence that names what is allowed."""

from __future__ import annotations

import hashlib
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from trainer import calc
from trainer.errors import UnknownName
from trainer.questions import Bank, load_bank

SMALL = Path(__file__).parent / "data" / "small"
LENGTH = "questions/crown/slab-length.toml"
BAGS = "questions/bag-count.toml"
FIRST = "questions/what-first.toml"


def test_the_small_bank_is_read_whole(small_bank: Bank) -> None:
    assert list(small_bank.questions) == ["bag-count", "slab-length", "what-first", "what-last"]
    assert [question.id for question in small_bank.of_skill("bag-count")] == [
        "bag-count",
        "what-first",
        "what-last",
    ]
    length = small_bank.question("slab-length")
    assert length.hash == hashlib.sha256((SMALL / LENGTH).read_bytes()).hexdigest()
    assert "by {{ chimney_width }}. The crown" in length.text.en  # lines of a text are joined
    assert small_bank.question("bag-count").must_pass


def test_an_unknown_question_is_refused(small_bank: Bank) -> None:
    with pytest.raises(UnknownName, match="no question 'slab'"):
        small_bank.question("slab")


# (file, text found, text put there, part of the line it is told on, part of the sentence)
MISTAKES = [
    (LENGTH, 'kind = "number"', 'kind = "guess"', "kind", "no kind 'guess'; there are number, choose"),
    (LENGTH, "level = 1", "level = 4", "level", "the level is 1, 2 or 3, not 4"),
    (LENGTH, "level = 1", "level = true", "level", "must be a whole number, not True"),
    (LENGTH, "level = 1", "level = 1\ncolor = 2", "color", "no 'color'; allowed are answer"),
    (
        LENGTH,
        '["slab-size"]',
        '["slab-siz"]',
        "skills",
        "no skill 'slab-siz'; there are bag-count, slab-size",
    ),
    (LENGTH, '["common-practice"]', '["grandpa"]', "sources", "no source 'grandpa'"),
    (LENGTH, '["common-practice"]', "[]", "sources", "sources is empty"),
    (LENGTH, "version = 1\n", "", "", "has no 'version'"),
    (LENGTH, 'es = """Una', 'se = """Una', "[text]", "text has no Spanish text"),
    (
        LENGTH,
        "over {{ overhang }}.",
        "over {{ hang }}.",
        'en = """A',
        "{{ hang }} has no value; there are chimney_length",
    ),
    (LENGTH, "El saliente es de {{ overhang }}. ", "", "es =", "overhang stands in one language only"),
    (LENGTH, "over {{ overhang }}.", "over {{ overhang * 2 }}.", 'en = """A', "names in double braces"),
    (LENGTH, 'low = "36 in"', 'low = "36 lb"', "low", "lb"),
    (LENGTH, 'step = "1/2 in"', 'step = "7 in"', "step", "does not reach 60 in from 36 in in whole steps"),
    (LENGTH, 'step = "1/2 in"', 'step = "0 in"', "[given.chimney_length]", "steps over 0"),
    (
        LENGTH,
        'shop = "overhang"',
        'shop = "slope"',
        "shop",
        "the shop standard has no 'slope'; it has overhang",
    ),
    (LENGTH, 'shop = "overhang"', 'list = ["99 in"]', "list", "overhang"),
    (
        LENGTH,
        'shop = "overhang"',
        'shop = "overhang"\nlow = "1 in"',
        "[given.overhang]",
        "needs one of low, list",
    ),
    (LENGTH, 'shop = "overhang"', "list = []", "list", "the list of overhang is empty"),
    (
        LENGTH,
        '"crown.slab"',
        '"crown.slub"',
        "calculation",
        f"no calculation 'crown.slub'; there are {', '.join(calc.names())}",
    ),
    (
        LENGTH,
        'result = "slab_length"',
        'result = "length"',
        "result",
        "crown.slab makes no number 'length'; it makes",
    ),
    (LENGTH, 'unit = "in"', 'unit = "ft3"', "unit", "in cannot be turned into ft3"),
    (LENGTH, 'unit = "in"', 'unit = "cubits"', "unit", "no unit 'cubits'; there are in, "),
    (LENGTH, 'tolerance = "1/8 in"', 'tolerance = "close"', "tolerance", 'a tolerance is "exact", a percent'),
    (LENGTH, 'tolerance = "1/8 in"', 'tolerance = "60 %"', "tolerance", "at most 25 %"),
    (
        LENGTH,
        '{ overhang = "half" }',
        '{ overhung = "half" }',
        "change",
        "crown.slab has no input 'overhung'",
    ),
    (
        LENGTH,
        '{ overhang = "half" }',
        '{ overhang = "none" }',
        "change",
        "overhang cannot be changed to none",
    ),
    (LENGTH, '{ overhang = "half" }', '{ overhang = "given:hang" }', "change", "no given 'hang'; there are"),
    (LENGTH, '{ overhang = "half" }\n', '{}\nresult = "x"\n', "result", "makes no number 'x'"),
    (LENGTH, 'change = { overhang = "half" }\n', "", "[[slip]]", "the slip one-side changes nothing"),
    (
        LENGTH,
        'es = "Sumó {{ overhang }} una vez. Cuenta dos veces."',
        "",
        "[[slip]]",
        "slip 1 has no Spanish text",
    ),
    (LENGTH, 'id = "forgotten"', 'id = "one-side"', "id", "two slips are called 'one-side'"),
    (
        LENGTH,
        'change = { overhang = "zero" }',
        'times = "a lot"',
        "times",
        "times must be a number or a fraction",
    ),
    (LENGTH, "{{ difference }} short", "{{ gap }} short", "short", "{{ gap }} has no value"),
    (LENGTH, '"crown.plan"', '"crown.top"', "name", "no drawing 'crown.top'; there are"),
    (
        LENGTH,
        '"chimney_width", "overhang"]',
        '"slab_length"]',
        "shown",
        "shows slab_length, which is the answer",
    ),
    (
        LENGTH,
        'es = ["Sobresale en las dos puntas."]',
        "es = []",
        "[hints]",
        "as many in Spanish as in English",
    ),
    (LENGTH, 'low = "30 in"', 'low = "90 in"', "[field]", "goes from low up to high"),
    (BAGS, '"60 lb", "80 lb"', '"70 lb"', "list", "choose one of 40 lb"),
    (BAGS, '["13 x 13 in"]', '["13 by in"]', "list", "flue"),
    (BAGS, '["13 x 13 in"]', "13", "list", "takes several values"),
    (BAGS, 'round = "0.05 ft3"', 'round = "0.05 lb"', "round", "lb"),
    (BAGS, 'result = "volume"', 'result = "bags"', "result", "crown.slab makes no number 'bags'"),
    (FIRST, "right = true\n", "", "[[option]]", "option 1 is wrong and does not say why"),
    (FIRST, 'en = "The bars."', 'en = "The bond break."', "en", "option 2 says the same as one above it"),
    (
        FIRST,
        'en = "The bars."',
        'right = true\nen = "The bars."',
        "[[option]]",
        "one of them right; here 3, 2 right",
    ),
    (FIRST, 'es = "Nada se pega al tubo."', "", "[because]", "because has no Spanish text"),
    (FIRST, "[because]", '[given.x]\nvalue = "north"\n[because]', "value", "write words as"),
    (FIRST, "version = 3", "version = ", "version", "the file is not TOML here"),
]


@pytest.mark.parametrize(("file", "before", "after", "on", "sentence"), MISTAKES)
def test_a_mistake_is_told_with_its_line(
    changed_bank: Callable[..., Bank],
    tmp_path: Path,
    file: str,
    before: str,
    after: str,
    on: str,
    sentence: str,
) -> None:
    bank = changed_bank(file, (before, after))
    said = [problem for problem in bank.problems if sentence in problem.sentence]
    assert said, [str(problem) for problem in bank.problems]
    assert said[0].path == file
    if on:
        lines = (tmp_path / "bank" / file).read_text(encoding="utf-8").splitlines()
        assert on in lines[said[0].line - 1]
    # The others load all the same.
    assert sorted(bank.questions) == sorted(
        {"bag-count", "slab-length", "what-first", "what-last"} - {Path(file).stem}
    )
    assert {problem.path for problem in bank.problems} == {file}


def test_two_files_of_one_name_are_told(tmp_path: Path) -> None:
    folder = tmp_path / "bank"
    shutil.copytree(SMALL, folder)
    shutil.copy(folder / LENGTH, folder / "questions" / "slab-length.toml")
    bank = load_bank(folder)
    assert len(bank.questions) == 4
    assert re.search("the id 'slab-length' is taken by", bank.problems[0].sentence)


def test_a_broken_skills_file_is_told_once_and_questions_still_load(
    changed_bank: Callable[..., Bank],
) -> None:
    bank = changed_bank("skills.toml", ("[slab-size]", "[slab-size"))
    assert [problem.path for problem in bank.problems] == ["skills.toml"]
    assert len(bank.questions) == 4


def test_an_empty_file_is_told(changed_bank: Callable[..., Bank], tmp_path: Path) -> None:
    changed_bank(FIRST)
    (tmp_path / "bank" / FIRST).write_bytes(b"")
    (tmp_path / "bank" / BAGS).write_bytes(b"\xff\xfe")
    bank = load_bank(tmp_path / "bank")
    assert {problem.sentence for problem in bank.problems} == {
        "the file is empty.",
        "the file is not UTF-8 text.",
    }
