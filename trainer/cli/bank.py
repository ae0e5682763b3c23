"""`trainer bank`: check, list, draw and grade the questions of the bank."""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any, NoReturn

import click

from trainer.clearance import unasked, undemanded
from trainer.cli.progress import passing
from trainer.errors import ContentError, Refusal
from trainer.languages import LANGUAGES, Text
from trainer.lessons import load_lessons, shop_rules
from trainer.paths import content_dir
from trainer.questions import Bank, Draw, Grade, GradedPart, load_bank
from trainer.questions import draw as draw_question
from trainer.questions import grade as grade_answer
from trainer.questions.check import DRAWS, check_bank

as_json = click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
in_language = click.option(
    "--language", type=click.Choice(LANGUAGES), default="en", show_default=True, help="Language of the texts."
)
seeded = click.option(
    "--seed", type=int, required=True, help="The same seed gives the same numbers for ever."
)

WORDS = {
    "right": Text(en="right", es="correcto"),
    "wrong": Text(en="wrong", es="incorrecto"),
    "carried": Text(en="right from the person's own figure", es="correcto con su propia cifra"),
    "read as": Text(en="read as", es="se leyó como"),
    "answer": Text(en="the answer is", es="la respuesta es"),
    "slip": Text(en="slip", es="error"),
    "on the job": Text(en="on the job", es="en la obra"),
    "because": Text(en="because", es="porque"),
    "must pass": Text(en="must pass", es="obligatoria"),
}


@click.group()
def bank() -> None:
    """Check, draw and grade the questions of the bank."""


@bank.command("check")
@click.option(
    "--draws", type=click.IntRange(1, 100_000), default=DRAWS, show_default=True, help="Draws a question."
)
@click.option(
    "--folder", type=click.Path(exists=True, file_okay=False, path_type=Path), help="Another bank's folder."
)
@as_json
def check(draws: int, folder: Path | None, as_json: bool) -> None:
    """Draw every question many times and report each broken rule, with file, line and a plain sentence.

    A note says where a clearance asks for a skill that has neither a must-pass question nor a reason for none.

    \b
    trainer bank check --draws 50
    """
    loaded = load_bank(folder)
    library = load_lessons()
    taught = {id: library.lesson(id).skills for id in library.ids}
    problems = check_bank(loaded, draws, taught, lambda questions: passing(questions, "questions"))
    notes: tuple[ContentError, ...] = ()
    if (content_dir("question_bank") if folder is None else folder).joinpath("clearances.toml").exists():
        try:
            rules = shop_rules(loaded, library, folder)
            problems += unasked(folder, rules)
            notes = undemanded(folder, rules, loaded.must_pass_decided)
        except ContentError as wrong:
            problems += (wrong,)
    if as_json:
        _print(
            {
                "questions": len(loaded.questions),
                "draws": draws,
                "problems": [_problem(one) for one in problems],
                "notes": [_problem(one) for one in notes],
            }
        )
    else:
        for problem in problems:
            click.echo(str(problem))
        for note in notes:
            click.echo(f"note: {note}")
        click.echo(f"{len(loaded.questions)} questions, {draws} draws each: {len(problems)} problems")
    sys.exit(1 if problems else 0)


@bank.command("list")
@as_json
@in_language
def list_questions(as_json: bool, language: str) -> None:
    """List the questions with their level and skills.

    \b
    trainer bank list
    """
    loaded = load_bank()
    if as_json:
        _print(
            {
                "questions": [
                    {
                        "id": one.id,
                        "version": one.version,
                        "kind": one.kind,
                        "level": one.level,
                        "must_pass": one.must_pass,
                        "skills": list(one.skills),
                    }
                    for one in loaded.questions.values()
                ]
            }
        )
        return
    for one in loaded.questions.values():
        skills = ", ".join(loaded.skills[skill].name.in_language(language) for skill in one.skills)
        must = f" ({WORDS['must pass'].in_language(language)})" if one.must_pass else ""
        click.echo(f"{one.id:32} {one.kind:7} {one.level}  {skills}{must}")


@bank.command("draw")
@click.argument("question")
@seeded
@as_json
@in_language
def draw(question: str, seed: int, as_json: bool, language: str) -> None:
    """Draw QUESTION with its numbers fixed by the seed.

    \b
    trainer bank draw crown-slab-length --seed 7
    """
    drawn = _drawn(load_bank(), question, seed, language)
    if as_json:
        _print(drawn.to_json())
        return
    click.echo(drawn.text.in_language(language))
    for line in drawn.body.lines(language):
        click.echo(f"  {line}")


@bank.command("grade", context_settings={"ignore_unknown_options": True})
@click.argument("question")
@click.argument("answer")
@seeded
@as_json
@in_language
def grade(question: str, answer: str, seed: int, as_json: bool, language: str) -> None:
    """Grade ANSWER to the draw of QUESTION: exit status 0 right, 1 wrong, 2 when it cannot be read.

    \b
    trainer bank grade crown-slab-length "44 1/2 in" --seed 7
    """
    drawn = _drawn(load_bank(), question, seed, language)
    given = grade_answer(drawn, answer, language)
    if as_json:
        _print(given.to_json() | {"right": given.right, "answer": drawn.answer(language)})
    elif given.status == "unreadable":
        click.echo(given.refusal, err=True)
    else:
        for line in _lines(drawn, given, language):
            click.echo(line)
    sys.exit({"right": 0, "wrong": 1, "unreadable": 2}[given.status])


def _lines(drawn: Draw, given: Grade, language: str) -> list[str]:
    def said(word: str, text: str) -> str:
        return f"{WORDS[word].in_language(language)}: {text}"

    lines = [WORDS[given.status].in_language(language), said("read as", given.reading)]
    if not given.right:
        lines.append(said("answer", drawn.answer(language).replace("\n", "; ")))
    lines += [_part_line(part, language) for part in given.parts]
    about = (("slip", given.slip_text), ("on the job", given.consequence), ("because", given.because))
    return lines + [said(word, text) for word, text in about if text]


def _part_line(part: GradedPart, language: str) -> str:
    said = (WORDS[part.state].in_language(language), part.reading, part.said)
    return f"  {part.label}: {' · '.join(one for one in said if one)}"


def _drawn(loaded: Bank, question: str, seed: int, language: str) -> Draw:
    """The draw; exit status 2 with one sentence when there is none, for a broken file with what is wrong in it."""
    broken = [problem for problem in loaded.problems if Path(problem.path).stem == question]
    if question not in loaded.questions and broken:
        _refuse(str(broken[0]))
    try:
        return draw_question(loaded.question(question), seed)
    except Refusal as refusal:
        return _refuse(refusal.in_language(language))


def _refuse(sentence: str) -> NoReturn:
    click.echo(sentence, err=True)
    sys.exit(2)


def _problem(problem: ContentError) -> dict[str, Any]:
    return {"file": problem.path, "line": problem.line, "sentence": problem.sentence}


def _print(data: dict[str, Any]) -> None:
    click.echo(json.dumps(data, ensure_ascii=False, indent=2))
