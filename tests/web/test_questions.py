"""The trainer's pages on the bank: every question with its draws, a file tried out without keeping it, how to add one."""

from __future__ import annotations

import time

import pytest

from tests.shipped import shipped_bank
from trainer.calc import DEFAULT_SHOP
from trainer.paths import content_dir
from trainer.questions import draw
from trainer.questions.bank import read_question
from trainer.questions.check import check_question
from trainer.questions.preview import MOST_LETTERS, SECONDS, slips, ten, try_out
from trainer.web.question_keys import KEYS, KINDS

BANK = shipped_bank()
EXAMPLE = (content_dir("question_bank") / "example.toml").read_text(encoding="utf-8")


@pytest.fixture
def staff(sign_in, people):
    return sign_in(people.trainer)


def test_every_question_is_listed_under_each_of_its_skills_with_its_level_and_kind(staff):
    soup = staff.get("/questions").soup
    links = [link["href"] for link in soup.select("ul.list a.row-link")]
    assert sorted(links) == sorted(
        f"/questions/{one.id}" for one in BANK.questions.values() for _ in one.skills
    )
    row = soup.select_one("a[href='/questions/crown-slab-length']").parent.get_text(" ", strip=True)
    assert "a number · level 1" in row and "must pass" not in row
    assert "must pass" in soup.select_one("a[href='/questions/why-cover']").parent.get_text(" ", strip=True)
    assert not soup.select("#left-out")


@pytest.mark.parametrize("id", sorted({one.kind: id for id, one in BANK.questions.items()}.values()))
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_question_shows_both_texts_its_file_and_ten_draws_with_their_answers(id, language, sign_in, people):
    question = BANK.questions[id]
    page = sign_in(people.trainer, language).get(f"/questions/{id}").soup
    said = page.select_one("main").get_text(" ", strip=True)
    assert f"question_bank/{question.path}" in said
    assert {one["lang"] for one in page.select("main p[lang]")} == {"en", "es"}
    previews = page.select("article.preview")
    assert len(previews) == 10
    for seed, preview in enumerate(previews):
        drawn = draw(question, seed, DEFAULT_SHOP)
        text = preview.get_text(" ", strip=True)
        assert " ".join(drawn.text.in_language(language).split()) in " ".join(text.split())
        for part, slip, unit in slips(drawn):
            assert slip.text.in_language(language) in text, (part, unit)
        if drawn.kind == "number":
            assert drawn.answer(language) in text


def test_the_next_ten_draws_are_others(staff):
    first, more = (staff.get(f"/questions/crown-slab-length?from={n}").text for n in (0, 10))
    texts = [draw(BANK.questions["crown-slab-length"], seed).text.en for seed in range(20)]
    assert all(text in first for text in texts[:10]) and all(text in more for text in texts[10:])
    for odd in ("-5", "x", "99999999999999999999"):
        assert staff.get(f"/questions/crown-slab-length?from={odd}").status == 200


def test_an_unknown_question_is_no_page(staff):
    assert staff.get("/questions/no-such-question").status == 404


def test_the_example_can_be_saved_and_is_without_a_mistake(staff):
    saved = staff.get("/questions/example.toml")
    assert saved.text.split() == EXAMPLE.split()
    problems: list = []
    question = read_question("example", "example.toml", EXAMPLE.encode(), BANK.skills, problems)
    assert problems == [] and check_question(question, 200) == []


def test_every_key_of_the_example_and_every_kind_is_explained(staff):
    page = staff.get("/questions/add").soup
    said = {term.get_text(strip=True) for term in page.select("dl.keys dt")}
    heads = {line.split("]")[0] for line in EXAMPLE.splitlines() if line.startswith("[")}
    keys = {line.split(" = ")[0] for line in EXAMPLE.partition("[text]")[0].splitlines() if " = " in line}
    wanted = {key.name for key in KEYS}
    assert keys <= wanted and said == wanted | {key.name for key in KINDS}
    for head in heads:
        name = "[given.NAME" if head.startswith("[given.") else head
        assert any(one.startswith(name) for one in wanted), head
    assert {key.name for key in KINDS} == {question.kind for question in BANK.questions.values()}
    assert EXAMPLE.strip() in page.select_one("pre.file").get_text()


def events(store):
    with store.engine.connect() as connection:
        return connection.exec_driver_sql("SELECT count(*) FROM event").scalar()


def test_a_good_file_is_tried_out_and_nothing_is_kept(staff, store, app):
    before = events(store)
    page = staff.submit("/questions/try", {"file": EXAMPLE})
    assert "Nothing wrong in 100 draws" in page.text
    assert len(page.soup.select("article.preview")) == 10
    assert page.soup.select_one("textarea").get_text().strip() == EXAMPLE.strip()
    assert events(store) == before and "your-question" not in staff.get("/questions").text


@pytest.mark.parametrize(
    ("before", "after", "line", "sentence"),
    [
        ("level = 1", "level = 9", "level = 9", "the level is 1, 2 or 3, not 9."),
        ('change = { cover = "half" }', 'change = { covre = "half" }', "change =", "rebar.mat has no input 'covre'"),
        ('tolerance = "1/4 in"', 'tolerance = "4 in"', 'tolerance = "4 in"', "the tolerance swallows the slip one-end on most draws; make it tighter."),
        ("{{ slab_width }}, and the", "{{ width }}, and the", 'en = """You cut', "{{ width }} has no value"),
        ("[text]", "[text", "[text", "the file is not TOML here"),
    ],
)  # fmt: skip
def test_a_file_with_a_mistake_gets_the_checks_own_sentence_and_line(staff, before, after, line, sentence):
    assert before in EXAMPLE
    page = staff.submit("/questions/try", {"file": EXAMPLE.replace(before, after, 1)})
    found = page.soup.select("#findings li")
    assert found and any(sentence in one.get_text() for one in found), page.soup.select_one("#findings")
    quoted = [one.pre.get_text() for one in found if sentence in one.get_text() and one.pre]
    assert any(one.startswith(line) for one in quoted), quoted


def test_the_same_in_spanish(sign_in, people):
    browser = sign_in(people.trainer, "es")
    page = browser.submit("/questions/try", {"file": EXAMPLE.replace("level = 1", "level = 9")})
    assert "Línea" in page.soup.select_one("#findings").get_text() and "por corregir" in page.text
    assert "Nada mal en 100 versiones" in browser.submit("/questions/try", {"file": EXAMPLE}).text


def test_too_long_a_file_is_refused(staff):
    page = staff.submit("/questions/try", {"file": EXAMPLE + "# " + "x" * MOST_LETTERS})
    assert "At most 20000 letters." in page.text and not page.soup.select("article.preview")


HOSTILE = {
    "brackets": "a = " + "[" * 9000,
    "braces": EXAMPLE.replace("You cut bar", "{{ " + "(" * 5000 + "x" + " }}", 1),
    "dots": EXAMPLE.replace("You cut bar", "{{ slab_length" + ".a" * 5000 + " }}", 1),
    "digits": EXAMPLE.replace('low = "40 in"', f'low = "{"9" * 9000} in"', 1),
    "bare digits": EXAMPLE.replace("version = 1", "version = " + "9" * 4000, 1),
    "exponent": EXAMPLE.replace('low = "40 in"', 'low = "1e999999999 in"', 1),
    "never right": EXAMPLE.replace('low = "30 in"', 'low = "63 15/16 in"', 1),
    "many givens": EXAMPLE + "".join(f'[given.g{n}]\nlist = ["1 in", "2 in"]\n' for n in range(400)),
    "many slips": EXAMPLE + "".join(f'[[slip]]\nid = "s{n}"\ntimes = "{n}"\nen = "a b"\nes = "c d"\n' for n in range(2, 240)),
    "many pieces": EXAMPLE.partition("[given")[0].replace("{{ slab_length }}", "{{ piece }}").replace("{{ slab_width }}", "x").replace("{{ cover }}", "x")
    + '[given.piece]\nlist = [' + ", ".join(f'["41 @ {31 + n}.{n} in", "43 @ 17.3 in", "37 @ 23.7 in", "39 @ 41.9 in", "29 @ 29.3 in", "31 @ 53.1 in"]' for n in range(9))
    + ']\n[given.stock_length]\nlist = ["20 ft", "21 ft"]\n[answer]\ncalculation = "rebar.stock"\nresult = "bars"\nunit = "count"\ntolerance = "exact"\n',
    "escape": EXAMPLE.replace("You cut bar", "{{ slab_length.__class__.__mro__ }}", 1),
    "loop": EXAMPLE.replace("You cut bar", "{% for i in range(10**9) %}x{% endfor %}", 1),
}  # fmt: skip


@pytest.mark.parametrize("name", HOSTILE)
def test_a_hostile_file_is_told_in_time(name):
    """In a few seconds of this process's own time, whatever stands in the file."""
    start = time.process_time()
    tried = try_out(HOSTILE[name][:MOST_LETTERS], BANK, clock=time.process_time)
    assert time.process_time() - start < SECONDS + 4
    # The two that are long but well made may be tried out whole where the machine is quick.
    assert tried.problems or not tried.whole or name in ("many givens", "many slips")


def test_time_that_is_up_is_said_and_blames_nobody():
    ticks = iter(range(0, 10_000, 1))
    tried = try_out(EXAMPLE, BANK, clock=lambda: next(ticks))
    assert tried.question is not None and tried.problems == () and not tried.whole


def test_ten_passes_over_seeds_without_numbers():
    assert [one.seed for one in ten(BANK.questions["crown-slab-length"], 5)] == list(range(5, 15))


def test_left_out_files_are_on_the_page(staff, app):
    from dataclasses import replace

    from trainer.errors import ContentError
    from trainer.web.content import CONTENT

    wrong = ContentError("question_bank/questions/bad.toml", 7, "the level is 1, 2 or 3, not 9.")
    app.extensions[CONTENT] = replace(app.extensions[CONTENT], problems=(wrong,))
    said = staff.get("/questions").soup.select_one("main").get_text(" ", strip=True)
    assert "question_bank/questions/bad.toml , line 7 the level is 1, 2 or 3, not 9." in said.replace(
        "toml,", "toml ,"
    )
