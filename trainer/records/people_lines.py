"""The lines of a file of people as they are read: bounded, in UTF-8, and each judged by itself.

A cell that a spreadsheet would take for a formula is refused, as it would come out of the records as one.
"""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Final

from trainer.errors import Refusal
from trainer.languages import Text
from trainer.records import crews, emails
from trainer.records.actors import APPRENTICE, OWNER, TRAINER
from trainer.records.cells import harmless
from trainer.records.people import SIGN_IN_NAME, plain_sign_in

MOST_BYTES: Final = 64 * 1024
MOST_PEOPLE: Final = 500
LONGEST_NAME: Final = 80
HEADINGS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("name", "nombre"), "name"),
    **dict.fromkeys(("sign-in", "sign in", "sign_in", "sign-in name", "usuario"), "sign_in"),
    **dict.fromkeys(("role", "roles", "función", "funcion", "funciones"), "roles"),
    **dict.fromkeys(("language", "idioma"), "language"),
    **dict.fromkeys(("e-mail", "email", "e-mail address", "correo"), "email"),
    **dict.fromkeys(("crew", "cuadrilla"), "crew"),
}
ROLE_WORDS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("apprentice", "new hire", "aprendiz", "nuevo"), APPRENTICE),
    **dict.fromkeys(("trainer", "instructor"), TRAINER),
    **dict.fromkeys(("owner", "dueño", "dueno"), OWNER),
}
LANGUAGE_WORDS: Final[Mapping[str, str]] = {
    **dict.fromkeys(("en", "english", "inglés", "ingles"), "en"),
    **dict.fromkeys(("es", "spanish", "español", "espanol"), "es"),
}


@dataclass(frozen=True, slots=True)
class Line:
    """One line. number: as an editor counts them; there: the person is in the list already, nothing is done.

    wrong: why it cannot be taken; None when it can
    """

    number: int
    name: str
    sign_in: str
    roles: tuple[str, ...]
    language: str
    email: str
    crew: str
    there: bool = False
    wrong: Refusal | None = None


def decoded(data: bytes) -> str:
    """The text of a file. Refusal when it is too large, or no text in UTF-8."""
    if len(data) > MOST_BYTES:
        raise Refusal(
            Text(
                en="The file is larger than %(most)s KB; give one with at most %(people)s people.",
                es="El archivo pasa de %(most)s KB; use uno con %(people)s personas como máximo.",
            ),
            most=MOST_BYTES // 1024,
            people=MOST_PEOPLE,
        )
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise _no_text(data[: error.start].count(b"\n") + 1) from None
    return readable(text)


def readable(text: str) -> str:
    """The text, when it holds nothing but letters and line ends. Refusal otherwise."""
    for number, line in enumerate(text.splitlines(), start=1):
        if any((ord(letter) < 32 and letter != "\t") or letter in "\x7f\ufffd\ufeff" for letter in line):
            raise _no_text(number)
    return text


def read_lines(text: str, language: str) -> list[Line]:
    """Every line with what is wrong with it by itself. Refusal when the whole cannot be read."""
    heading = text.lstrip("\r\n").split("\n", 1)[0]
    parted = max(",;\t", key=heading.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=parted, strict=True)
    lines: list[Line] = []
    columns: list[str] | None = None
    began = 1
    try:
        for row in reader:
            number, began = began, reader.line_num + 1
            cells = [one.strip() for one in row]
            if not any(cells):
                continue
            if columns is None:
                columns = _columns(cells)
                continue
            lines.append(
                _line(number, dict(zip(columns, cells, strict=False)), cells[len(columns) :], language)
            )
            if len(lines) > MOST_PEOPLE:
                raise Refusal(
                    Text(
                        en="There are more than %(most)s people in it; give fewer at once.",
                        es="Trae más de %(most)s personas; dé menos a la vez.",
                    ),
                    most=MOST_PEOPLE,
                )
    except csv.Error:
        raise Refusal(
            Text(
                en="Line %(line)s cannot be read: a quotation mark is not closed, or stands where none may.",
                es="No se puede leer la línea %(line)s: unas comillas no se cierran, o están donde no deben.",
            ),
            line=began,
        ) from None
    if columns is None or not lines:
        raise Refusal(Text(en="There is nobody in it.", es="No hay nadie en él."))
    return lines


def _columns(cells: list[str]) -> list[str]:
    columns = [HEADINGS.get(" ".join(cell.split()).casefold(), "") for cell in cells]
    unknown = [cell for cell, known in zip(cells, columns, strict=True) if cell and not known]
    missing = {"name", "sign_in"} - set(columns)
    named = [one for one in columns if one]
    if unknown or missing or len(named) != len(set(named)):
        raise Refusal(
            Text(
                en="The first line names the columns: name, sign-in, and if wanted role, language, e-mail, crew. It reads: "
                "%(given)s",
                es="La primera línea nombra las columnas: nombre, usuario y, si quiere, función, idioma, correo, cuadrilla. "
                "Dice: %(given)s",
            ),
            given=", ".join(cells)[:120],
        )
    return columns


def _line(number: int, cells: Mapping[str, str], more: list[str], language: str) -> Line:
    words = [
        one.strip().casefold() for one in cells.get("roles", "").replace("/", "+").split("+") if one.strip()
    ]
    roles = tuple(dict.fromkeys(ROLE_WORDS.get(word, word) for word in words)) or (APPRENTICE,)
    spoken = cells.get("language", "").casefold()
    line = Line(
        number,
        cells.get("name", ""),
        plain_sign_in(cells.get("sign_in", "")),
        roles,
        LANGUAGE_WORDS.get(spoken, spoken) if spoken else language,
        cells.get("email", ""),
        cells.get("crew", ""),
    )
    wrong = _wrong(line, [*cells.values(), *more], more)
    return line if wrong is None else replace(line, wrong=wrong)


def _wrong(line: Line, cells: list[str], more: list[str]) -> Refusal | None:
    """What is wrong with a line by itself."""
    formula = next((cell for cell in cells if harmless(cell) != cell), None)
    unknown = next((role for role in line.roles if role not in ROLE_WORDS.values()), None)
    if any(more):
        said, given = Text(en="There are more cells than columns.", es="Hay más celdas que columnas."), ""
    elif formula is not None:
        said, given = FORMULA, formula
    elif not line.name or not line.sign_in:
        said, given = Text(en="The name or the sign-in is missing.", es="Falta el nombre o el usuario."), ""
    elif len(line.name) > LONGEST_NAME:
        said = Text(
            en="The name has more than %(most)s letters.", es="El nombre tiene más de %(most)s letras."
        )
        given = ""
    elif not SIGN_IN_NAME.fullmatch(line.sign_in):
        said, given = SIGN_IN, line.sign_in
    elif unknown is not None:
        said, given = ROLE, unknown
    elif line.language not in LANGUAGE_WORDS.values():
        said, given = LANGUAGE, line.language
    elif line.email and not emails.is_address(line.email):
        said, given = EMAIL, line.email
    elif len(line.crew) > crews.MOST_LETTERS:
        said = Text(
            en="The crew's name has more than %(crew)s letters.",
            es="El nombre de la cuadrilla tiene más de %(crew)s letras.",
        )
        given = ""
    else:
        return None
    return Refusal(said, given=repr(given[:60]), most=LONGEST_NAME, crew=crews.MOST_LETTERS)


def _no_text(line: int) -> Refusal:
    return Refusal(
        Text(
            en="Line %(line)s is no text in UTF-8. In the spreadsheet, save it as “CSV UTF-8”.",
            es="La línea %(line)s no es texto en UTF-8. En la hoja de cálculo, guárdelo como “CSV UTF-8”.",
        ),
        line=line,
    )


FORMULA: Final = Text(
    en="The cell %(given)s begins with a sign that spreadsheets take for a formula.",
    es="La celda %(given)s empieza con un signo que las hojas de cálculo toman por fórmula.",
)
SIGN_IN: Final = Text(
    en="The sign-in %(given)s cannot be used: give 2 to 64 letters a–z, digits and . _ @ + -",
    es="El usuario %(given)s no sirve: use de 2 a 64 letras a–z, cifras y . _ @ + -",
)
ROLE: Final = Text(
    en="%(given)s is no role: write new hire, trainer or owner, several with + between them.",
    es="%(given)s no es una función: escriba aprendiz, instructor o dueño, varias con + entre ellas.",
)
LANGUAGE: Final = Text(
    en="%(given)s is no language of this shop: write en or es.",
    es="%(given)s no es un idioma del taller: escriba en o es.",
)
EMAIL: Final = Text(
    en="%(given)s is no e-mail address; give one such as name@shop.example.",
    es="%(given)s no es una dirección de correo; escriba una como nombre@taller.example.",
)
