"""`trainer lessons`: check the lessons."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import click

from trainer.lessons import load_lessons
from trainer.lessons.check import check_lessons, orphans
from trainer.questions import load_bank


@click.group()
def lessons() -> None:
    """Check the lessons."""


@lessons.command("check")
@click.option(
    "--folder", type=click.Path(exists=True, file_okay=False, path_type=Path), help="Other lessons' folder."
)
@click.option("--json", "as_json", is_flag=True, help="Print one JSON object.")
def check(folder: Path | None, as_json: bool) -> None:
    """Render every lesson and compare the languages; report each mistake with file, line and a plain sentence."""
    library = load_lessons(folder)
    bank = load_bank()
    problems = check_lessons(library, bank)
    if folder is None:
        problems += orphans(library, bank)
    if as_json:
        listed = [{"file": one.path, "line": one.line, "sentence": one.sentence} for one in problems]
        click.echo(
            json.dumps({"lessons": len(library.ids), "problems": listed}, ensure_ascii=False, indent=2)
        )
    else:
        for problem in problems:
            click.echo(str(problem))
        click.echo(f"{len(library.ids)} lessons: {len(problems)} problems")
    sys.exit(1 if problems else 0)
