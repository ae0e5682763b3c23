"""Pages on paper: a whole HTML document as a tagged PDF.

    pdf         HTML → PDF
    PAPERS      the sheet sizes, by the name that CSS has for them

The document brings its own style and drawings; nothing is fetched, from this machine or from another.
"""

from __future__ import annotations

from typing import Final

PAPERS: Final = ("letter", "A4")


def pdf(html: str) -> bytes:
    """The document as PDF/UA: tagged, with the title and the language that the HTML names.

    Raises ValueError when the document refers to anything outside itself.
    """
    # Imported here: loading it takes about a second, and most pages are never printed.
    from weasyprint import HTML
    from weasyprint.urls import FatalURLFetchingError, URLFetcher

    try:
        fetcher = URLFetcher(allowed_protocols=(), fail_on_errors=True)
        made: bytes = HTML(string=html, url_fetcher=fetcher).write_pdf(pdf_variant="pdf/ua-1")
    except FatalURLFetchingError as error:
        raise ValueError(f"a printed page may fetch nothing: {error}") from error
    return made
