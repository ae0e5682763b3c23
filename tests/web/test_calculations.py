"""The reference: the index and its search, every calculation's page, its address, its data, its refusals."""

from __future__ import annotations

import json
import random
import re
import string
import time
from urllib.parse import urlencode

import pytest
from click.testing import CliRunner

from trainer import calc, drawings
from trainer.calc import report
from trainer.calc.sources import source
from trainer.cli import cli
from trainer.web import reference

SAMPLES = {name: dict(calc.get(name).sample) for name in calc.names()}
EVERY = pytest.mark.parametrize("name", calc.names())
LANGUAGES = pytest.mark.parametrize("language", ["en", "es"])


def address(name: str, **typed: object) -> str:
    return f"/calculations/{name}?{urlencode(typed, doseq=True)}"


@pytest.fixture
def inside(reader):
    return reader("en")


@LANGUAGES
def test_the_index_lists_every_calculation_once_under_a_topic(reader, language):
    page = reader(language).get("/calculations")
    links = [link["href"] for link in page.soup.select("section .row-link")]
    assert sorted(links) == sorted(f"/calculations/{name}" for name in calc.names())
    assert all(section.h2.get_text(strip=True) for section in page.soup.select("main section"))


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("ladder", "ladder.set"),
        ("escalera", "ladder.set"),  # the other language
        ("CUBETAS", "concrete.buckets"),
        ("evaporacion", "concrete.evaporation"),  # without its accent
        ("flue weight", "flue.weight"),  # both words, whichever order
        ("crown.slab", "crown.slab"),  # by its name
        ("water for the mix", "concrete.bags"),  # by a skill that computes with it
    ],
)
def test_search_by_name_purpose_and_skill_in_either_language(inside, words, expected):
    page = inside.get("/calculations", search=words)
    found = [link["href"] for link in page.soup.select("section .row-link")]
    assert f"/calculations/{expected}" in found and len(found) < len(calc.names())
    assert page.soup.select_one("input[name=search]")["value"] == words


def test_a_search_that_finds_nothing_says_so_and_leads_back(inside):
    page = inside.get("/calculations", search="<b>zebra")
    assert "“<b>zebra”" in page.text and not page.soup.select("section .row-link")
    assert page.soup.select_one(".empty:not([hidden]) a")["href"] == "/calculations"


@LANGUAGES
@EVERY
def test_every_page_shows_its_sample_worked(reader, name, language):
    page = reader(language).get(f"/calculations/{name}")
    assert page.status == 200
    soup, text = page.soup, page.text
    calculation = calc.get(name)
    evaluation = calc.work(name, calc.read_inputs(name, calculation.sample))
    assert soup.html["lang"] == language
    assert calculation.purpose.in_language(language) in text
    shown = [each.get_text() for each in soup.select("#results dd")]
    assert shown == [
        calc.working.shown(evaluation.results[each.name], each, language) for each in calculation.results
    ]
    assert all(source(id).title.in_language(language) in text for id in calculation.sources)
    assert len(soup.select("ol.working > li")) == len(evaluation.steps)
    for each in calculation.inputs:
        field = soup.select_one(f"main form [name='{each.name}']")
        assert soup.select_one(f"label[for='{field['id']}']")
        assert each.meaning.in_language(language).lower() in text.lower()
    made = [figure for figure in drawings.FIGURES.values() if figure.calculation == name]
    assert len(soup.select("main svg")) == len(made)
    assert len(soup.select("aside.caution")) == len(calculation.cautions)
    for caution in calculation.cautions:
        assert caution.in_language(language).partition(": ")[2].lower() in text.lower()


@EVERY
def test_a_form_sent_as_it_stands_gives_the_sample_again(inside, name):
    first = inside.get(f"/calculations/{name}")
    sent = inside.get(address(name, **{each.name: "" for each in calc.get(name).inputs} | held(first)))
    assert not sent.errors
    results = [[dd.get_text() for dd in page.soup.select("#results dd")] for page in (first, sent)]
    assert results[0] == results[1] != []
    # Results stand before the form once numbers were sent, and after it on the first visit.
    first_of = [next(part.name for part in page.soup.select("#results, main form")) for page in (first, sent)]
    assert first_of == ["form", "section"]


@EVERY
def test_a_wrong_value_is_refused_once_at_its_own_field(inside, name):
    wrong = "1 zebra"
    for each in (each.name for each in calc.get(name).inputs):
        page = inside.get(address(name, **(SAMPLES[name] | {each: wrong})))
        assert page.status == 200 and len(page.errors) == 1
        (error,) = page.soup.select("p.error")
        field = error.find_parent(class_="field")
        control = field.select_one(f"[name='{each}']")
        assert control["aria-invalid"] == "true" and error["id"] in control["aria-describedby"]
        assert page.soup.select_one(f".summary a[href='#{control['id']}']")
        assert each not in re.findall(r"\b\w+_\w+\b", error.get_text())
        assert not page.soup.select("#results")
        # Nothing lost: the text stands in its field, and every other one as it was sent.
        kept = held(page)
        assert wrong in kept[each]
        for other, texts in SAMPLES[name].items():
            if other != each:
                assert kept[other] == ([texts] if isinstance(texts, str) else list(texts))


def held(page) -> dict[str, list[str]]:
    """What stands in the fields of the calculation's form, by name, without the empty ones."""
    found: dict[str, list[str]] = {}
    for item in page.soup.select("main form input[name], main form option[selected]"):
        text = item.get("value") or item.get_text()
        if text:
            found.setdefault(item.get("name") or item.parent["name"], []).append(text)
    return found


def test_what_is_missing_is_said_at_each_field(inside):
    page = inside.get(address("crown.slab", chimney_length="", density="150"))
    assert len(page.errors) == 2 and all("is missing; give 8 to 240 in." in error for error in page.errors)


def test_what_cannot_go_together_stands_at_the_first_field_named(inside):
    typed = SAMPLES["crown.slab"] | {"flue": ["13 x 13 in", "13 x 13 in"], "flue_spacing": "1/2 in"}
    page = inside.get(address("crown.slab", **typed))
    (error,) = page.soup.select("p.error")
    assert error.find_parent(class_="field").select_one("[name=flue_spacing]")
    assert "“compressible gap all round each flue”" in error.get_text() and "bond_gap" not in error.get_text()


def test_a_single_value_given_twice_is_refused(inside):
    page = inside.get(address("roof.slope", rise=["6", "7"]))
    assert page.errors == ["Rise in 12 inches of run: Rise was given 2 times; give it once."]


def test_each_text_is_echoed_as_it_was_read(inside):
    page = inside.get(
        address("crown.slab", chimney_length="40.5", chimney_width="610 mm", flue=["13x13", "", "10 dia"])
    )
    echoes = [echo.strong.get_text() for echo in page.soup.select("p.echo")]
    assert echoes == ["40 1/2 in", "610 mm (about 2 ft)", "13 x 13 in; 10 in dia"]


def test_no_page_needs_many_statements(sign_in, people, count_statements):
    browser = sign_in(people.apprentice)
    for path in ("", *(f"/{name}" for name in calc.names())):
        with count_statements() as statements:
            assert browser.get(f"/calculations{path}").status == 200
        assert len(statements) <= 20, (path, statements)


def test_the_shop_standard_is_named_and_used(sign_in, people):
    inside = sign_in(people.apprentice)
    owner = sign_in(people.owner)
    owner.submit("/standard", {"overhang": "3 in"})
    page = inside.get(address("crown.slab", chimney_length="40", chimney_width="24"))
    hint = page.soup.select_one("[name=overhang]").find_parent(class_="field").select_one(".hint").get_text()
    assert "3 in, the shop standard" in hint
    assert "46 in" in page.soup.select_one("#results dd").get_text()
    assert "Where the sources differ" in page.text


@EVERY
def test_data_and_text_are_what_the_command_prints(inside, name):
    typed = SAMPLES[name] or {each.name: "" for each in calc.get(name).inputs}
    call = [
        f"{each}={one}"
        for each, texts in SAMPLES[name].items()
        for one in ([texts] if isinstance(texts, str) else texts)
    ]
    for ending, option in ((".json", "--json"), (".txt", "--report")):
        path = address(name, **typed).replace("?", f"{ending}?")
        answer = inside.client.get(path)
        assert answer.status_code == 200
        assert answer.text == CliRunner().invoke(cli, ["calc", name, *call, option]).output
    assert (
        json.loads(inside.client.get(address(name, **typed).replace("?", ".json?")).text)["calculation"]
        == name
    )


def test_wrong_input_for_data_and_text(inside):
    answer = inside.client.get("/calculations/roof.slope.json?rise=zebra")
    assert answer.status_code == 400 and list(answer.json["errors"]) == ["rise"]
    answer = inside.client.get("/calculations/roof.slope.txt")
    assert answer.status_code == 400 and answer.text.count("\n") == 1 and "is missing" in answer.text


def test_no_such_calculation(inside):
    for ending in ("", ".json", ".txt"):
        assert inside.get(f"/calculations/crown.dome{ending}").status == 404


def test_links_of_the_page_hold_the_numbers(inside):
    page = inside.get(address("crown.slab", **SAMPLES["crown.slab"]))
    for link in page.soup.select("main a[href*='crown.slab.']"):
        answer = inside.client.get(link["href"])
        assert answer.status_code == 200 and "44" in answer.text


def test_a_lesson_and_an_answered_problem_lead_here_with_their_numbers(sign_in, people):
    inside = sign_in(people.apprentice)
    lesson = inside.get("/lessons/crown-geometry")
    links = [link["href"] for link in lesson.soup.select("main a[href^='/calculations/']")]
    assert links and all("?" in link for link in links)
    page = inside.get(links[0])
    assert page.soup.select("#results") and not page.errors

    problem = "/practice/crown-slab-length/7"
    answered = inside.submit(problem, {"answer": "1 in"})
    (link,) = answered.soup.select(".working ~ p a, details.working a")
    page = inside.get(link["href"])
    right = answered.soup.select(".given-vs-right dd")[1].get_text()
    assert right in [dd.get_text() for dd in page.soup.select("#results dd")]


def test_it_is_in_everyones_bar(sign_in, people):
    for person in (people.owner, people.trainer, people.apprentice):
        page = sign_in(person).get("/calculations")
        assert page.soup.select_one("nav.bar a[aria-current=page]")["href"] == "/calculations"


def test_every_calculation_belongs_to_a_topic(bank):
    topics = [group.title.en for group in reference.found(bank, "")]
    assert "Other" not in topics and len(topics) > 5


PIECES = [
    *string.printable, "½", "″", "’", "１", "∞", "\x00", "é", "nan", "none", "1e400", " in", " ft", "1/2", " x ", " @ ",
    "13", "-", "2026-11-25", "0", "9" * 70, "<script>", "%s", "%(name)s", "{{ 7*7 }}", ":", "\\",
]  # fmt: skip


def test_random_addresses_never_break_a_page(inside):
    luck = random.Random(20261125)
    slowest = 0.0
    for turn in range(600):
        calculation = calc.get(luck.choice(calc.names()))
        typed: dict[str, list[str]] = {
            name: [texts] if isinstance(texts, str) else list(texts)
            for name, texts in calculation.sample.items()
        }
        for _ in range(luck.randrange(1, 4)):
            name = luck.choice([*(each.name for each in calculation.inputs), "search", "page", "nobody"])
            text = "".join(luck.choice(PIECES) for _ in range(luck.randrange(5)))
            typed[name] = [text] * luck.randrange(1, 4)
        ending = luck.choice(["", "", "", ".json", ".txt"])
        path = address(calculation.name, **typed).replace("?", f"{ending}?", 1)
        begun = time.perf_counter()
        answer = inside.client.get(path)
        slowest = max(slowest, time.perf_counter() - begun)
        assert answer.status_code in (200, 400), (turn, path, answer.status_code)
    assert slowest < 5, "no address may keep the server busy"


def test_the_ends_of_every_range_are_drawn_and_worked(inside):
    """The smallest and the greatest value of each input alone: a page, with its results or with a refusal."""
    for name in calc.names():
        calculation = calc.get(name)
        for each in calculation.inputs:
            if each.kind == "number":
                for end in (each.low, each.high):
                    typed = SAMPLES[name] | {each.name: report.written(each, end)}
                    page = inside.client.get(address(name, **typed))
                    assert page.status_code == 200, (name, each.name, end)
