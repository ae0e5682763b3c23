"""A quiz on paper: a sheet for each person with their own numbers, and the key with the worked solutions.

Each sheet bears a code, short and not to be guessed, that opens the form in which its answers are typed in. The code is
made from the paper and the shop's secret, so nothing about it is stored; only trainers and owners get past it.
"""

from __future__ import annotations

import hashlib
import hmac
import re
from base64 import b32encode
from collections.abc import Callable, Iterable, Sequence
from typing import Final

import segno
from flask import g, render_template
from flask_babel import force_locale
from markupsafe import Markup

from trainer.records.queries import PaperSheet
from trainer.web.asked import asked
from trainer.web.current import shop
from trainer.web.i18n import LOCALES

LETTERS: Final = 6  # of 32 each: about a thousand million codes for each paper

Passing = Callable[[Sequence[PaperSheet]], Iterable[PaperSheet]]


def code_of(paper_id: int) -> str:
    """The code of a paper: its number and six letters, such as "17-K7QXR2"."""
    mark = hmac.new(shop().secret.encode(), f"worksheet {paper_id}".encode(), hashlib.sha256).digest()
    return f"{paper_id}-{b32encode(mark).decode()[:LETTERS]}"


def paper_of(code: str) -> int | None:
    """The paper of a code as typed, in capitals or not; None when it is no code of this shop."""
    number, _, _ = code.strip().partition("-")
    if not number.isascii() or not number.isdigit() or len(number) > 9:
        return None
    good = hmac.compare_digest(code_of(int(number)), code.strip().upper().encode("ascii", "replace").decode())
    return int(number) if good else None


def document(
    sheets: Sequence[PaperSheet], address: Callable[[str], str], *, key: bool, passing: Passing = iter
) -> str:
    """All sheets, or the key to all, as one HTML document; each in the person's language.

    address: of a code's page, for the square code; passing: yields the sheets while it shows how far it is
    """
    spoken, parts = g.language, []
    try:
        for sheet in passing(sheets):
            g.language = sheet.language
            code = code_of(sheet.paper_id)
            with force_locale(LOCALES[sheet.language]):
                parts.append(
                    render_template(
                        "print/_worksheet.html",
                        sheet=sheet,
                        problems=[asked(draw) for draw in sheet.draws],
                        code=code,
                        square=square(address(code)),
                        key=key,
                        tall=tall,
                    )
                )
    finally:
        g.language = spoken
    return render_template(
        "print/worksheets.html", parts=[Markup(part) for part in parts], key=key, title_of=sheets[0].title
    )


def tall(svg: str) -> bool:
    """Whether a drawing is higher than it is wide."""
    box = re.search(r'viewBox="\S+ \S+ (\S+) (\S+)"', svg)
    return box is not None and float(box[2]) > float(box[1])


def square(address: str) -> Markup:
    """The address as a QR code (ISO/IEC 18004), with the quiet zone of four modules that it asks for."""
    made = segno.make(address, error="m", micro=False)
    return Markup(made.svg_inline(border=4, omitsize=True, svgclass="code", lineclass=None))  # our own text
