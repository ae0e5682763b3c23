"""Find the faults: the file, the draw, and the grade of every answer there could be.

No source outside the project says what a mark is worth; the claims about chance are proved here by counting every way
to mark, and the words of the fault book are held to the places that the drawing has.
"""

from __future__ import annotations

import json
import shutil
from collections import Counter
from itertools import combinations
from math import comb

import pytest

from tests.shipped import shipped_bank
from trainer.calc import DEFAULT_SHOP
from trainer.drawings.chimney_top import FAULTS, PLACES, neighbourhood, places
from trainer.paths import content_dir
from trainer.questions import Draw, draw, figure, grade, load_bank
from trainer.questions.kinds.faults import credit
from trainer.questions.kinds.faults_file import FEWEST_PLACES, MOST_PLACES
from trainer.questions.kinds.faults_place import TOUCHED

BANK = shipped_bank()
ASKED = [id for id, question in BANK.questions.items() if question.kind == "faults"]
SEEDS = range(200)


@pytest.fixture
def changed(tmp_path):
    """The shipped bank with one survey question, read again after a change in one of its files."""
    folder = tmp_path / "bank"
    (folder / "questions").mkdir(parents=True)
    shipped = content_dir("question_bank")
    for name in ("skills.toml", "faults.toml"):
        shutil.copy(shipped / name, folder)
    shutil.copy(shipped / "questions/survey/look-it-over.toml", folder / "questions")

    def change(file, before, after):
        path = folder / file
        text = path.read_text(encoding="utf-8")
        assert before in text
        path.write_text(text.replace(before, after, 1), encoding="utf-8")
        return load_bank(folder)

    return change


@pytest.mark.parametrize("id", ASKED)
def test_every_seed_is_graded_by_its_own_faults(id):
    question, counts = BANK.questions[id], Counter()
    for seed in SEEDS:
        drawn = draw(question, seed)
        body, rule = drawn.body, question.body
        faulty = body.faulty
        counts[len(faulty)] += 1
        assert len(body.marks) == rule.places
        assert rule.least <= len(faulty) <= rule.most
        assert {mark.fault for mark in body.marks if mark.fault} <= set(rule.may)
        # The marks tell exactly the faults of the drawing.
        assert {(mark.place, mark.fault) for mark in body.marks if mark.fault} == set(body.top.faults)
        assert len({neighbourhood(place) for place, _ in body.top.faults}) == len(faulty)
        for language in ("en", "es"):
            assert grade(drawn, drawn.answer(language), language).right
        wrong = grade(drawn, body.mistaken())
        assert wrong.status == "wrong" and wrong.credit < 1
        everything = grade(drawn, ", ".join(str(mark.number) for mark in body.marks))
        assert (everything.status, everything.credit) == ("wrong", 0.0)
        assert Draw.from_json(json.loads(json.dumps(drawn.to_json()))) == drawn
    # Every number of faults that the file allows occurs, sound chimneys too.
    assert set(counts) == set(range(question.body.least, question.body.most + 1))


@pytest.mark.parametrize("id", ASKED)
def test_every_allowed_fault_occurs(id):
    question = BANK.questions[id]
    seen = {fault for seed in range(500) for _, fault in draw(question, seed).body.top.faults}
    assert seen == set(question.body.may)


def test_all_faults_of_the_drawing_are_asked_for():
    assert len(ASKED) >= 6
    assert {fault for id in ASKED for fault in BANK.questions[id].body.may} == set(FAULTS)
    assert len(FAULTS) >= 12


def drawn_with(faults):
    return next(
        drawn
        for seed in range(500)
        if len((drawn := draw(BANK.questions["look-it-over"], seed)).body.faulty) == faults
    )


def test_misses_and_false_alarms_are_both_told():
    drawn = drawn_with(2)
    one, other = drawn.body.faulty
    sound = next(mark for mark in drawn.body.marks if not mark.fault)
    graded = grade(drawn, f"{one} and {sound.number}")
    assert (graded.status, graded.credit) == ("wrong", 0.0)
    missed = drawn.body.marks[other - 1]
    said = {part.label.partition(".")[0]: part for part in graded.parts}
    assert set(said) == {str(one), str(other), str(sound.number)}
    assert said[str(one)].state == "right"
    assert said[str(other)].state == said[str(sound.number)].state == "wrong"
    assert missed.called.en in said[str(other)].label
    assert missed.matters.en in said[str(other)].said and missed.do.en in said[str(other)].said
    assert sound.seen.en in said[str(sound.number)].said
    assert graded.slip == missed.fault
    assert grade(drawn, f"{one}").credit == 0.5
    spanish = grade(drawn, f"{one}", "es")
    assert missed.matters.es in spanish.parts[-1 if other > one else 0].said


def test_none_is_right_on_a_sound_chimney_and_only_there():
    sound, faulty = drawn_with(0), drawn_with(1)
    for typed in ("none", "None.", "ninguna", "NINGUNO"):
        assert grade(sound, typed).right
        assert grade(faulty, typed).status == "wrong"
        assert grade(faulty, typed).credit == 0.0
    alarm = grade(sound, "2")
    assert (alarm.status, alarm.credit, alarm.slip) == ("wrong", 0.0, "false-alarm")


@pytest.mark.parametrize(
    "typed", ["{a},{b}", "{b} {a}", " {a} and {b} ", "{a} y {b}", "{a}; {b}.", "{a}, {b}, {a}"]
)
def test_numbers_are_read_as_people_write_them(typed):
    drawn = drawn_with(2)
    one, other = drawn.body.faulty
    graded = grade(drawn, typed.format(a=one, b=other))
    assert graded.right and graded.reading == f"{one}, {other}"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "'' is not read"),
        ("the crown", "'the crown' is not read"),
        ("2.x", "'2.x' is not read"),
        ("-3", "'-3' is not read"),
        ("٣", "'٣' is not read"),
        ("2, 40", "there is no place 40 on the drawing; there are 1 to 9"),
        ("0", "there is no place 0"),
        ("none, 2", "a number and none cannot both stand"),
    ],
)
def test_what_cannot_be_read_is_not_wrong(typed, said):
    graded = grade(drawn_with(2), typed)
    assert graded.status == "unreadable"
    assert said in graded.refusal


@pytest.mark.parametrize("places_marked", range(FEWEST_PLACES, MOST_PLACES + 1))
def test_marking_by_chance_earns_about_nothing(places_marked):
    """Every way to mark k of the places, counted: never more on average than one guess among all places earns."""
    for faults in range(1, places_marked // 3 + 1):
        sound = places_marked - faults
        for marked in range(places_marked + 1):
            ways = {
                found: comb(faults, found) * comb(sound, marked - found)
                for found in range(max(0, marked - sound), min(faults, marked) + 1)
            }
            mean = sum(count * credit(faults, found, marked - found) for found, count in ways.items())
            assert mean / comb(places_marked, marked) <= 1 / places_marked + 1e-12
        # Each place by the toss of a coin.
        tosses = sum(
            comb(faults, found) * comb(sound, alarms) * credit(faults, found, alarms)
            for found in range(faults + 1)
            for alarms in range(sound + 1)
        )
        assert tosses / 2**places_marked <= (0.05 if places_marked > 6 else 1 / places_marked)
        assert credit(faults, faults, sound) == 0.0


def test_grading_agrees_with_the_count():
    """The same, through the grader, over every pair of places of one drawing."""
    drawn = drawn_with(2)
    credits = [grade(drawn, f"{a} {b}").credit for a, b in combinations(range(1, 10), 2)]
    assert sum(credits) / len(credits) == pytest.approx(1 / 36)
    assert sorted(credits)[-2:] == [0.0, 1.0]


def test_sound_places_near_a_fault_show_nothing_of_it():
    assert set(TOUCHED) <= set(FAULTS)
    for id in ASKED:
        for seed in SEEDS:
            body = draw(BANK.questions[id], seed).body
            touched = {part for _, fault in body.top.faults for part in TOUCHED.get(fault, ())}
            assert not {mark.place for mark in body.marks if not mark.fault and PLACES[mark.place] in touched}


def test_a_number_gives_nothing_away():
    """A place is at fault as often under one number as its number of faults would have it: numbers follow the drawing."""
    for seed in range(60):
        body = draw(BANK.questions["look-it-over"], seed).body
        order = [mark.place for mark in body.marks]
        assert order == [place for place in places(body.top.flues) if place in order]
        assert [mark.number for mark in body.marks] == list(range(1, len(order) + 1))


def test_the_drawing_tells_what_is_seen_and_not_what_is_wrong():
    for seed in range(60):
        drawn = draw(BANK.questions["look-it-over"], seed)
        for language in ("en", "es"):
            shown, told = figure(drawn, language), figure(drawn, language, reveal=True)
            for mark in drawn.body.marks:
                assert f"{mark.number}, {mark.name.in_language(language)}: " in shown.description
                assert mark.seen.in_language(language) in shown.description
                if mark.called is not None:
                    assert mark.called.in_language(language) not in shown.description
            assert 'class="ring"' not in shown.svg
            assert told.svg.count('r="14"') == len(drawn.body.faulty)


def test_a_place_has_the_same_name_whether_sound_or_not():
    names = {}
    for seed in SEEDS:
        for mark in draw(BANK.questions["look-it-over"], seed).body.marks:
            assert names.setdefault(mark.place, mark.name) == mark.name
    assert set(names) == set(PLACES)


def test_the_shop_standard_sets_the_sizes():
    shop = DEFAULT_SHOP | {
        "overhang": 3.0,
        "edge_thickness": 5.0,
        "projection": 2.0,
        "max_projection": 5.0,
        "cover": 2.0,
    }
    question = BANK.questions["look-it-over"]
    tops = [draw(question, seed, shop).body.top for seed in range(60)]
    assert {(top.overhang, top.edge, top.cover) for top in tops} == {(3.0, 5.0, 2.0)}
    assert {top.projection for top in tops} == {2.0, 3.0, 4.0, 5.0}
    assert all(top.too_high > 5.0 + 3 for top in tops)


@pytest.mark.parametrize(
    ("before", "after", "sentence"),
    [
        ("most = 3", "most = 4", "places is at least three times the faults"),
        ("places = 9", "places = 30", "and 6 to 12"),
        ("least = 0", "least = 4", "most is at least least"),
        ("least = 0\n", 'least = 0\nmay = ["ghost"]\n', "there is no fault 'ghost'; there are no-overhang, "),
        ("least = 0\n", 'least = 0\nmay = ["loose-flashing"]\n', "no room for 3 at once"),
        ("least = 0\n", "least = 0\nflues = [3]\n", "flues is a list of 1 and 2"),
        ("least = 0\n", "least = 0\nhow = 2\n", "there is no 'how' in [faults]"),
        ("[hints]", '[figure]\nname = "crown.plan"\nshown = []\n[hints]', "brings its own drawing"),
    ],
)
def test_a_question_file_is_checked(changed, before, after, sentence):
    bank = changed("questions/look-it-over.toml", before, after)
    assert bank.questions == {}
    assert any(sentence in problem.sentence and problem.line for problem in bank.problems)


@pytest.mark.parametrize(
    ("before", "after", "sentence"),
    [
        ("[fault.no-drip]", "[fault.no-dripp]", "the fault 'no-drip' has no words"),
        ("[fault.no-drip]", "[fault.no-dripp]", "the drawing has no fault 'no-dripp'"),
        ("[place.left-edge]", "[place.left-side]", "the place 'left-edge' has no words"),
        ("[part.edge]", "[part.edges]", "the part 'edge' has no words"),
        ('sources = ["mi-r408"]', 'sources = ["hearsay"]', "there is no source 'hearsay'"),
        ("thick to the end, with a groove under it", "{{ height }} thick", "{{ height }} has no value"),
        ("[fault.no-drip]\nname = ", "[fault.no-drip]\ncalled = ", "must hold the text in both languages"),
    ],
)
def test_the_fault_book_is_checked(changed, before, after, sentence):
    bank = changed("faults.toml", before, after)
    found = [problem for problem in bank.problems if problem.path == "faults.toml"]
    assert any(sentence in problem.sentence for problem in found)
    assert bank.questions == {}  # nothing to find with a broken book, and it says so
    assert any("no faults.toml that can be read" in problem.sentence for problem in bank.problems)
