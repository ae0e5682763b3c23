"""`trainer lessons`: check the lessons."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from trainer.lessons import Library, load_lessons
from trainer.lessons.course import check_course, readings
from trainer.questions import load_bank


@click.group()
def lessons() -> None:
    """Check the lessons."""


@lessons.command("check")
@click.option(
    "--folder", type=click.Path(exists=True, file_okay=False, path_type=Path), help="Other lessons' folder."
)
@click.option("--reading", is_flag=True, help="Print each English lesson's school grade and minutes first.")
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
def check(folder: Path | None, reading: bool, as_json: bool) -> None:
    """Render every lesson, compare the languages, and hold each to what a lesson must have; report each mistake with file,
    line and a plain sentence.

    \b
    trainer lessons check --reading
    """
    library = load_lessons(folder)
    problems = check_course(library, load_bank(), folder)
    if as_json:
        listed = [{"file": one.path, "line": one.line, "sentence": one.sentence} for one in problems]
        told: dict[str, object] = {"lessons": len(library.ids), "problems": listed}
        if reading:
            told["reading"] = [
                {"lesson": one.lesson.id, "grade": round(one.counts.grade, 2), "minutes": one.minutes}
                for one in readings(library)
            ]
        click.echo(json.dumps(told, ensure_ascii=False, indent=2))
    else:
        if reading:
            _print_readings(library)
        for problem in problems:
            click.echo(str(problem))
        click.echo(f"{len(library.ids)} lessons: {len(problems)} problems")
    sys.exit(1 if problems else 0)


def _print_readings(library: Library) -> None:
    click.echo("grade = 0.39 x words / sentences + 11.8 x syllables / words - 15.59 (Flesch-Kincaid, 1975)")
    click.echo("minutes = words with tables / 150 + 1/2 for each figure and each worked solution")
    click.echo("grade  min  words sentences syllables  lesson")
    for one in readings(library):
        counts = one.counts
        click.echo(
            f"{counts.grade:5.1f} {one.minutes:4d} {counts.words:6d} {counts.sentences:9d} {counts.syllables:9d}  "
            f"{one.lesson.id}"
        )
