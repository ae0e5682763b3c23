"""A PDF taken apart and put together anew, page by page, without anything that acts."""

from __future__ import annotations

from io import BytesIO
from typing import Any, Final

from pypdf import PdfReader, PdfWriter
from pypdf.generic import ArrayObject, DictionaryObject, NameObject

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records.cleaning import MOST_PAGES, NOT_A_PAPER

# Marks on a page that belong to what it shows: filled-in fields, stamps, writing. All others are left out.
SHOWN: Final = {"/Widget", "/Stamp", "/FreeText", "/Ink"}
ACTING: Final = ("/A", "/AA", "/PA", "/OpenAction", "/JS", "/JavaScript", "/EF", "/AF")
HIDDEN: Final = ("/Metadata", "/PieceInfo", "/Thumb", "/LastModified", "/StructParents", "/B")


def put_together(data: bytes) -> bytes:
    """The pages of a PDF as a new one. Refusal when it is locked, has too many pages or cannot be read."""
    try:
        reader = PdfReader(BytesIO(data), strict=False)
        if reader.is_encrypted:
            raise Refusal(
                Text(
                    en="The PDF is locked with a password; send one without, or a photograph of the paper.",
                    es="El PDF tiene contraseña; envíe uno sin ella o una fotografía del papel.",
                )
            )
        if not 1 <= len(reader.pages) <= MOST_PAGES:
            raise Refusal(
                Text(
                    en="The PDF has %(pages)s pages; 1 to %(most)s are taken.",
                    es="El PDF tiene %(pages)s páginas; se aceptan de 1 a %(most)s.",
                ),
                pages=len(reader.pages),
                most=MOST_PAGES,
            )
        writer = PdfWriter()
        for page in reader.pages:
            _strip(page)
            writer.add_page(page)
        writer.metadata = None
        out = BytesIO()
        writer.write(out)
    except Refusal:
        raise
    except Exception:  # a reader given a hostile file may raise anything
        raise Refusal(NOT_A_PAPER) from None
    return out.getvalue()


def _strip(page: Any) -> None:
    for key in (*ACTING, *HIDDEN):
        page.pop(key, None)
    kept = ArrayObject()
    for reference in page.get("/Annots") or ():
        mark = reference.get_object()
        if not isinstance(mark, DictionaryObject) or mark.get("/Subtype") not in SHOWN:
            continue
        shown = DictionaryObject()
        for key in ("/Type", "/Subtype", "/Rect", "/AP", "/AS", "/F", "/Contents", "/DA"):
            if key in mark:
                shown[NameObject(key)] = mark.raw_get(key)
        kept.append(shown)
    page.pop("/Annots", None)
    if kept:
        page[NameObject("/Annots")] = kept
