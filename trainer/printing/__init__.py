"""Pages on paper: a whole HTML document as a tagged PDF.

    pdf         HTML → PDF
    PAPERS      the sheet sizes, by the name that CSS has for them

The document brings its own style and drawings; nothing is fetched, from this machine or from another.
"""

from __future__ import annotations

from typing import Any, Final

PAPERS: Final = ("letter", "A4")


def pdf(html: str) -> bytes:
    """The document as PDF/UA: tagged, with the title and the language that the HTML names.

    Raises ValueError when the document refers to anything outside itself.
    """
    # Imported here: loading it takes about a second, and most pages are never printed.
    from weasyprint import HTML

    wanted: list[str] = []

    def refuse(url: str, *_: Any, **__: Any) -> Any:
        wanted.append(url)
        raise ValueError(f"a printed page fetches nothing, not even {url}")

    made: bytes = HTML(string=html, url_fetcher=refuse).write_pdf(pdf_variant="pdf/ua-1")
    if wanted:
        raise ValueError(f"the printed page refers to {', '.join(sorted(set(wanted)))}")
    return made
