"""A broken content file stops no other: it is left out, the pages still open, and what is wrong is said with its place."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.web.conftest import signed_in
from trainer.paths import content_dir
from trainer.questions import load_bank
from trainer.web import create_app
from trainer.web.content import Content, load_content

SMALL = Path(__file__).parents[1] / "questions" / "data" / "small"
COURSE = Path(__file__).parents[1] / "lessons" / "data" / "course"
LENGTH = "questions/crown/slab-length.toml"
CLEARANCES = """[ground]
version = 1
name = { en = "Ground", es = "Suelo" }
covers = { en = "Work from the ground.", es = "Trabajo desde el suelo." }
[[ground.requires]]
kind = "lesson"
lesson = "first"

[roof]
version = 1
name = { en = "Roof", es = "Techo" }
covers = { en = "Work on the roof.", es = "Trabajo en el techo." }
[[roof.requires]]
kind = "clearance"
clearance = "ground"
[[roof.requires]]
kind = "sign-off"
task = "climb"

[yard]
version = 1
name = { en = "Yard", es = "Patio" }
covers = { en = "Work in the yard.", es = "Trabajo en el patio." }
[[yard.requires]]
kind = "quiz"
skills = ["slab-size"]
score = 80
"""
TASKS = """[climb]
version = 1
name = { en = "Climb", es = "Subir" }
criteria = [{ en = "Three points of contact.", es = "Tres puntos de contacto." }]
"""


@pytest.fixture
def folders(tmp_path: Path) -> tuple[Path, Path]:
    """A bank and a course without a mistake, small enough to be read often."""
    bank, lessons = tmp_path / "bank", tmp_path / "lessons"
    shutil.copytree(SMALL, bank)
    shutil.copytree(COURSE, lessons)
    shutil.copy(content_dir("question_bank") / "faults.toml", bank / "faults.toml")
    (bank / "clearances.toml").write_text(CLEARANCES, encoding="utf-8")
    (bank / "tasks.toml").write_text(TASKS, encoding="utf-8")
    return bank, lessons


def everything(content: Content) -> dict[str, set[str]]:
    """What could be read, by kind of file."""
    return {
        "questions": set(content.bank.questions),
        "skills": set(content.bank.skills),
        "lessons": set(content.library.ids),
        "clearances": set(content.rules.clearances),
        "tasks": set(content.rules.tasks),
    }


def test_the_content_of_these_tests_is_without_a_mistake(folders: tuple[Path, Path]) -> None:
    content = load_content(*folders)
    assert content.problems == ()
    assert everything(content) == {
        "questions": {"bag-count", "slab-length", "what-first", "what-last"},
        "skills": {"slab-size", "bag-count"},
        "lessons": {"first", "second"},
        "clearances": {"ground", "roof", "yard"},
        "tasks": {"climb"},
    }


def overwritten(text: bytes) -> Callable[[Path], None]:
    return lambda file: file.write_bytes(text) and None


def replaced(before: str, after: str) -> Callable[[Path], None]:
    def change(file: Path) -> None:
        text = file.read_text(encoding="utf-8")
        assert before in text
        file.write_text(text.replace(before, after, 1), encoding="utf-8")

    return change


def a_folder(file: Path) -> None:
    file.unlink()
    file.mkdir()


BAD_TOML = overwritten(b"version = 1\n[oops\n")
NOT_UTF8 = overwritten(b'version = 1\nname = "caf\xe9"\n')
EMPTY = overwritten(b"")
DEEP = overwritten(b"a = " + b"[" * 5000)
LONG = overwritten(b"# " + b"x" * 300_000)
HUGE = overwritten(b"version = " + b"9" * 6000)

# what every kind of file may be instead of one: (the break, part of the sentence)
WHOLE = {
    "bad TOML": (BAD_TOML, "TOML"),
    "not UTF-8": (NOT_UTF8, "UTF-8"),
    "empty": (EMPTY, "is empty"),
    "a folder": (a_folder, "this is a folder"),
    "brackets without end": (DEEP, "TOML"),
    "a number without end": (HUGE, "TOML"),
}
ES = 'es = "'
# (file below its folder, what goes with it, the line it is told on)
FILES = {
    f"question_bank/{LENGTH}": {"questions": {"slab-length"}},
    "question_bank/skills.toml": {},  # the questions stay, under the ids of their skills
    "question_bank/faults.toml": {},
    "question_bank/tasks.toml": {"tasks": {"climb"}, "clearances": {"roof"}},
    "question_bank/clearances.toml": {"clearances": {"ground", "roof", "yard"}},
    "lessons/en/second.md": {"lessons": {"second"}},
}


def path_of(folders: tuple[Path, Path], name: str) -> Path:
    folder, _, rest = name.partition("/")
    return folders[folder == "lessons"] / rest


def expected(without: dict[str, set[str]], whole: dict[str, set[str]]) -> dict[str, set[str]]:
    return {kind: names - without.get(kind, set()) for kind, names in whole.items()}


@pytest.mark.parametrize("how", WHOLE)
@pytest.mark.parametrize("name", FILES)
def test_a_file_that_is_none_is_left_out_alone(folders: tuple[Path, Path], name: str, how: str) -> None:
    whole = everything(load_content(*folders))
    spoil, sentence = WHOLE[how]
    spoil(path_of(folders, name))
    content = load_content(*folders)
    said = [problem.sentence for problem in content.problems if problem.path == name]
    if name.startswith("lessons"):
        assert said  # a lesson is told first that its front matter is missing
    else:
        assert any(sentence in one for one in said), said
    assert everything(content) == expected(FILES[name], whole)


# (file, the break, what goes with it, part of the line it is told on, part of the sentence)
INSIDE = [
    (f"question_bank/{LENGTH}", replaced("level = 1", "level = [[1]]"), {"questions": {"slab-length"}}, "level", "must be a whole number"),
    (f"question_bank/{LENGTH}", replaced("level = 1", "levle = 1"), {"questions": {"slab-length"}}, "levle", "there is no 'levle'"),
    (f"question_bank/{LENGTH}", replaced('es = """Una', 'se = """Una'), {"questions": {"slab-length"}}, "[text]", "no Spanish"),
    (f"question_bank/{LENGTH}", replaced('unit = "in"', "unit = { a = 1 }"), {"questions": {"slab-length"}}, "unit", "must be a text"),
    (f"question_bank/{LENGTH}", replaced('low = "36 in"', "low = 36"), {"questions": {"slab-length"}}, "low", "must be a text"),
    ("question_bank/skills.toml", replaced('lesson = "crown-geometry"', "lesson = 3"), {"skills": {"slab-size"}, "questions": {"slab-length", "what-first", "what-last"}, "clearances": {"yard"}}, "lesson", "must be a text"),
    ("question_bank/skills.toml", replaced("purpose", "porpoise"), {"skills": {"slab-size"}, "questions": {"slab-length", "what-first", "what-last"}, "clearances": {"yard"}}, "porpoise", "no 'porpoise'"),
    ("question_bank/skills.toml", replaced(', es = "Sacos"', ""), {"skills": {"bag-count"}, "questions": {"bag-count", "what-first", "what-last"}}, "name", "no Spanish"),
    ("question_bank/faults.toml", replaced("[fault.", "[falt."), {}, "[falt.", "no 'falt'"),
    ("question_bank/tasks.toml", replaced(', es = "Subir"', ""), {"tasks": {"climb"}, "clearances": {"roof"}}, "name", "must have en and es"),
    ("question_bank/tasks.toml", replaced("criteria = [", "criteria = [7, "), {"tasks": {"climb"}, "clearances": {"roof"}}, "criteria", "must have en and es"),
    ("question_bank/clearances.toml", replaced('lesson = "first"', 'lesson = "gone"'), {"clearances": {"ground", "roof"}}, "lesson", "no lesson 'gone'"),
    ("question_bank/clearances.toml", replaced("score = 80", "score = 800"), {"clearances": {"yard"}}, "score", "it must be 1 to 100"),
    ("question_bank/clearances.toml", replaced('kind = "lesson"', "kind = []"), {"clearances": {"ground", "roof"}}, "kind", "must be a text"),
    ("question_bank/clearances.toml", replaced(', es = "Patio"', ""), {"clearances": {"yard"}}, "name", "must have en and es"),
    ("lessons/en/second.md", replaced("order = 2", 'order = "two"'), {"lessons": {"second"}}, "order", "must be a whole number"),
    ("lessons/en/second.md", replaced("order = 2", "ordre = 2"), {"lessons": {"second"}}, "ordre", "no 'ordre'"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "spoil", "without", "on", "sentence"), INSIDE)
def test_a_mistake_takes_out_what_rests_on_it_and_nothing_else(
    folders: tuple[Path, Path],
    name: str,
    spoil: Callable[[Path], None],
    without: dict[str, set[str]],
    on: str,
    sentence: str,
) -> None:
    whole = everything(load_content(*folders))
    spoil(path_of(folders, name))
    content = load_content(*folders)
    said = [problem for problem in content.problems if problem.path == name and sentence in problem.sentence]
    assert said, [str(problem) for problem in content.problems]
    assert on in path_of(folders, name).read_text(encoding="utf-8").splitlines()[said[0].line - 1]
    assert everything(content) == expected(without, whole)


def test_a_broken_must_pass_question_makes_no_clearance_easier(folders: tuple[Path, Path]) -> None:
    """bag-count's only must-pass question goes; a paper must still have asked one, so none will do until it is mended."""
    assert "bag-count" in load_content(*folders).rules.must_pass
    NOT_UTF8(folders[0] / "questions" / "bag-count.toml")
    content = load_content(*folders)
    assert "bag-count" not in content.bank.must_pass_skills
    assert "bag-count" in content.rules.must_pass and "slab-size" not in content.rules.must_pass


def test_a_file_of_any_shape_is_told_and_not_fallen_over(folders: tuple[Path, Path]) -> None:
    """Each value of a good file in turn made into something else; TOML, so that it comes as far as the reading."""
    file = folders[0] / LENGTH
    lines = file.read_text(encoding="utf-8").splitlines()
    tried = 0
    for number, line in enumerate(lines):
        key, equals, _ = line.partition(" = ")
        if not equals or '"""' in line:
            continue
        for value in (
            "1",
            "-1.5",
            "nan",
            "true",
            "[]",
            "[[1]]",
            "{ a = [1] }",
            "2026-01-01",
            '""',
            '"given:x"',
        ):
            file.write_text(
                "\n".join([*lines[:number], f"{key} = {value}", *lines[number + 1 :]]), encoding="utf-8"
            )
            bank = load_bank(folders[0])
            assert len(bank.questions) >= 3
            assert all(problem.path == LENGTH for problem in bank.problems)
            tried += 1
    assert tried > 100


@pytest.fixture
def broken_app(store, clock, tmp_path):
    """The shipped content with one file of each kind broken."""
    bank, lessons = tmp_path / "broken" / "bank", tmp_path / "broken" / "lessons"
    shutil.copytree(content_dir("question_bank"), bank)
    shutil.copytree(content_dir("lessons"), lessons)
    BAD_TOML(bank / "questions" / "tape" / "burnt-end.toml")
    NOT_UTF8(bank / "skills.toml")
    EMPTY(bank / "faults.toml")
    a_folder(bank / "tasks.toml")
    NOT_UTF8(lessons / "en" / "forms.md")
    NOT_UTF8(lessons / "es" / "forms.md")
    replaced('lesson = "tear-off"', 'lesson = "gone"')(bank / "clearances.toml")
    return create_app(store, settings={"CLOCK": clock, "QUESTION_BANK": bank, "LESSONS": lessons})


PAGES = {
    "owner": ["/board", "/people", "/standard", "/shop", "/history", "/questions"],
    "trainer": ["/review", "/assign", "/assign/new", "/sign-offs", "/questions", "/board"],
    "apprentice": ["/", "/lessons", "/lessons/crown-geometry", "/practice", "/practice/crown-slab-length/5", "/calculations", "/record", "/take-off"],
}  # fmt: skip


@pytest.mark.parametrize("role", PAGES)
def test_the_pages_open_and_the_trainer_sees_what_is_wrong(role, broken_app, clock, people):
    browser = signed_in(broken_app, clock, getattr(people, role), None)
    for path in PAGES[role]:
        page = browser.get(path)
        assert page.status == 200, path
    if role == "apprentice":
        assert browser.get("/practice/burnt-end").status == 404
        return
    warned = browser.get("/board").soup.select_one("a[href='/questions#left-out']")
    assert warned is not None and "mistakes in content files" in warned.parent.get_text()
    said = browser.get("/questions").soup.select_one("main").get_text(" ", strip=True)
    for part in (
        "question_bank/questions/tape/burnt-end.toml",
        "question_bank/skills.toml",
        "question_bank/faults.toml",
        "question_bank/tasks.toml",
        "question_bank/clearances.toml",
        "lessons/en/forms.md",
        "the file is not UTF-8 text.",
        "the file is not TOML here",
    ):
        assert part in said, part
