"""The sources that calculations, the shop standard, questions and lessons name, by id.

Numbers are taken from them; sentences never are. "from memory" marks a figure that was not seen in the source's own
text and must be checked against the bought standard before anyone relies on it.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from trainer.errors import UnknownName
from trainer.languages import Text


@dataclass(frozen=True, slots=True)
class Source:
    """One source: what it is, with section and edition."""

    id: str
    title: Text


def _source(id: str, en: str, es: str) -> Source:
    return Source(id, Text(en=en, es=es))


def _same(id: str, title: str) -> Source:
    return Source(id, Text(en=title, es=title))


SOURCES: Final[dict[str, Source]] = {
    source.id: source
    for source in (
        _source("common-practice", "common practice (no published source)", "práctica común (sin fuente publicada)"),
        _source("geometry", "geometry", "geometría"),
        _source(
            "bag-label", "the label on the bag, which governs", "la etiqueta del saco, que es la que manda"
        ),
        _same("astm-c1283", "ASTM C1283, section 8 (chimney caps)"),
        _same("astm-c270", "ASTM C270, appendix notes on exposed horizontal mortar"),
        _same("astm-a615", "ASTM A615, Table 1 (bar sizes)"),
        _same("astm-c920", "ASTM C920 (sealants), class 25"),
        _source(
            "mi-r408",
            "Michigan Residential Code, R 408.30547b (R1003.9.1)",
            "Código residencial de Michigan, R 408.30547b (R1003.9.1)",
        ),
        _source(
            "oh-local",
            "a city ordinance in Ohio (chimney cap thickness)",
            "una ordenanza municipal de Ohio (espesor)",
        ),
        _same("irc-r1003", "International Residential Code, R1003"),
        _source("nbc-9-21", "National Building Code of Canada, 9.21.4", "Código Nacional de Canadá, 9.21.4"),
        _source(
            "bia-1993",
            "Brick Industry Association advice, Masonry Magazine, August 1993, p. 10",
            "Consejo de la Brick Industry Association, Masonry Magazine, agosto de 1993, p. 10",
        ),
        _source(
            "fb1889",
            "USDA Farmers' Bulletin 1889, Fireplaces and Chimneys (1941)",
            "Boletín 1889 del USDA, Fireplaces and Chimneys (1941)",
        ),
        _source(
            "aci-318",
            "ACI 318-19 (cover: Table 20.5.1.3.1; spacing and steel ratio: from memory)",
            "ACI 318-19 (recubrimiento: Tabla 20.5.1.3.1; separación y cuantía: de memoria)",
        ),
        _source(
            "fireplace-author-2011",
            "a fireplace builder's published advice, 2011",
            "consejo publicado de un constructor de hogares, 2011",
        ),
        _source(
            "navy-aid",
            "US Navy Engineering Aid training manual, concrete quantities",
            "Manual de la Marina de EE. UU., cantidades de concreto",
        ),
        _source(
            "niosh-94-110",
            "NIOSH 94-110, revised lifting equation, p. 7",
            "NIOSH 94-110, ecuación revisada de levantamiento, p. 7",
        ),
        _same("nps-brief-2", "NPS Preservation Brief 2"),
        _same("osha-1926-500", "29 CFR 1926.500(b)"),
        _same("osha-1926-501", "29 CFR 1926.501"),
        _same("osha-1926-502", "29 CFR 1926.502(d)"),
        _same("osha-1926-503", "29 CFR 1926.503"),
        _same("osha-1926-1053", "29 CFR 1926.1053(b)(1), (b)(5)(i)"),
        _same("osha-1926-1153", "29 CFR 1926.1153, Table 1"),
    )
}


def source(id: str) -> Source:
    """The source of that id; UnknownName lists the ones there are."""
    try:
        return SOURCES[id]
    except KeyError:
        raise UnknownName(
            Text(
                en="there is no source %(id)s; there are %(known)s.",
                es="no hay una fuente %(id)s; hay %(known)s.",
            ),
            id=repr(id),
            known=", ".join(SOURCES),
        ) from None
