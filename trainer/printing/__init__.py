"""Pages on paper: a whole HTML document as a tagged PDF.

    pdf         HTML → PDF
    PAPERS      the sheet sizes, by the name that CSS has for them

The style of every printed page is static/paper.css; the document brings its own drawings. Nothing is fetched, from this
machine or from another.
"""

from __future__ import annotations

from typing import Final

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.paths import content_dir

NO_PANGO: Final = Text(
    en="This machine cannot make a PDF: the Pango library is missing. Print the page itself instead.",
    es="Esta máquina no puede hacer un PDF: le falta la biblioteca Pango. Imprima la página misma.",
)
PAPERS: Final = ("letter", "A4")


def pdf(html: str, paper: str, *, wide: bool = False) -> bytes:
    """The document as PDF/UA: tagged, with the title and the language that the HTML names.

    paper: one of PAPERS; wide: the sheet lies on its long side

    Raises ValueError when the document refers to anything outside itself, Refusal when the machine lacks Pango.
    """
    # Imported here: loading it takes about a second, and most pages are never printed.
    try:
        from weasyprint import CSS, HTML
        from weasyprint.urls import FatalURLFetchingError, URLFetcher
    except OSError:
        raise Refusal(NO_PANGO) from None
    try:
        fetcher = URLFetcher(allowed_protocols=(), fail_on_errors=True)
        style = (content_dir("static") / "paper.css").read_text("utf-8")
        style += f"@page {{ size: {paper}{' landscape' if wide else ''} }}"
        made: bytes = HTML(string=html, url_fetcher=fetcher).write_pdf(
            stylesheets=[CSS(string=style, url_fetcher=fetcher)], pdf_variant="pdf/ua-1"
        )
    except FatalURLFetchingError as error:
        raise ValueError(f"a printed page may fetch nothing: {error}") from error
    return made
