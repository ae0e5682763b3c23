"""HTML as a PDF that says what it is: tagged, titled, in its language, of the paper asked for, nothing fetched."""

from __future__ import annotations

import builtins
import io
import subprocess
import sys

import pytest
from pypdf import PdfReader

from trainer import printing
from trainer.errors import Refusal
from trainer.paths import content_dir

PAGE = """<!doctype html><html lang="{language}"><head><meta charset="utf-8"><title>Hoja ñ ½</title>
</head>
<body><h1>Corona</h1><p>3 ft 4 1/2 in – 9.5 ft³ – ½ ñ á</p>{more}</body></html>"""


def read(paper: str = "letter", language: str = "es", more: str = "") -> PdfReader:
    return PdfReader(io.BytesIO(printing.pdf(PAGE.format(language=language, more=more), paper)))


# ANSI/ASME Y14.1: letter is 8.5 x 11 in; ISO 216: A4 is 210 x 297 mm. A PDF unit is 1/72 in (ISO 32000).
@pytest.mark.parametrize(
    ("paper", "inches"), [("letter", (8.5, 11.0)), ("A4", (210 / 25.4, 297 / 25.4))], ids=["letter", "A4"]
)
def test_the_paper_is_the_one_asked_for(paper, inches):
    assert paper in printing.PAPERS
    box = read(paper=paper).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx([72 * side for side in inches], abs=0.5)


def test_it_is_tagged_and_names_its_title_and_language():
    # PDF/UA-1 (ISO 14289-1): marked content, a title shown in the window, the language of the text.
    reader = read()
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"] and root["/StructTreeRoot"]
    assert root["/Lang"] == "es" and reader.metadata.title == "Hoja ñ ½"
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]


def test_every_letter_of_both_languages_is_there():
    assert "3 ft 4 1/2 in – 9.5 ft³ – ½ ñ á" in read().pages[0].extract_text()


@pytest.mark.parametrize(
    "more",
    [
        '<img src="http://198.51.100.7/x.png" alt="">',
        '<img src="file:///etc/hostname" alt="">',
        '<link rel="stylesheet" href="https://198.51.100.7/x.css">',
    ],
)
def test_nothing_is_fetched_from_anywhere(more):
    with pytest.raises(ValueError, match="may fetch nothing"):
        read(more=more)


def test_it_is_loaded_only_when_a_page_is_printed():
    code = "import sys, trainer.web, trainer.printing; sys.exit('weasyprint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


def test_a_machine_without_pango_says_so_in_a_sentence(monkeypatch):
    def absent(name, *rest):
        if name.startswith("weasyprint"):
            raise OSError("cannot load library 'libpango-1.0-0'")
        return imported(name, *rest)

    imported = builtins.__import__
    monkeypatch.setattr(builtins, "__import__", absent)
    with pytest.raises(Refusal, match="Pango library is missing"):
        read()


def test_the_style_of_paper_is_whole_in_itself():
    style = (content_dir("static") / "paper.css").read_text("utf-8")
    assert "url(" not in style and "@import" not in style and "@page" in style
