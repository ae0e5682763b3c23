"""`trainer lessons check`: exit status and what it prints."""

from __future__ import annotations

import json
from pathlib import Path

from click.testing import CliRunner

from trainer.cli.lessons import lessons


def test_a_broken_lesson_is_told_with_file_and_line(tmp_path: Path) -> None:
    (tmp_path / "en").mkdir()
    (tmp_path / "en" / "bad.md").write_text("+++\ntitle = 3\n+++\nWords.\n", encoding="utf-8")
    result = CliRunner().invoke(lessons, ["check", "--folder", str(tmp_path)])
    assert result.exit_code == 1
    assert "en/bad.md:2: title must be a text in quotes, not 3." in result.output
    data = json.loads(CliRunner().invoke(lessons, ["check", "--folder", str(tmp_path), "--json"]).output)
    assert {"file": "en/bad.md", "line": 2, "sentence": "title must be a text in quotes, not 3."} in data[
        "problems"
    ]


def test_an_empty_course_has_no_problems(tmp_path: Path) -> None:
    assert CliRunner().invoke(lessons, ["check", "--folder", str(tmp_path)]).exit_code == 0
