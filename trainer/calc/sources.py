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
        _source(
            "common-practice",
            "common practice (no published source)",
            "práctica común (sin fuente publicada)",
        ),
        _source("own-default", "our own figure (no source)", "cifra propia (sin fuente)"),
        _source("geometry", "geometry", "geometría"),
        _source("arithmetic", "arithmetic", "aritmética"),
        _source(
            "bag-label", "the label on the bag, which governs", "la etiqueta del saco, que es la que manda"
        ),
        _source(
            "product-label",
            "the label on the product, which governs",
            "la etiqueta del producto, que es la que manda",
        ),
        _source("astm-c1283", "ASTM C1283, section 8 (chimney caps)", "ASTM C1283, sección 8 (coronas)"),
        _source(
            "astm-c270",
            "ASTM C270, appendix notes on exposed horizontal mortar",
            "ASTM C270, notas del apéndice sobre mortero horizontal a la intemperie",
        ),
        _source("astm-a615", "ASTM A615, Table 1 (bar sizes)", "ASTM A615, Tabla 1 (medidas de varilla)"),
        _source("astm-c920", "ASTM C920 (sealants), class 25", "ASTM C920 (selladores), clase 25"),
        _source(
            "astm-c1193",
            "ASTM C1193 (joint shape and backer rod: from memory)",
            "ASTM C1193 (forma de la junta y cordón de respaldo: de memoria)",
        ),
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
        _source(
            "il-local",
            "a city ordinance in Illinois, 9-118 (chimney height, flue area)",
            "una ordenanza municipal de Illinois, 9-118 (altura de chimenea, área del conducto)",
        ),
        _same("irc-r1003", "International Residential Code, R1003"),
        _source(
            "aci-318-rupture",
            "ACI 318-19, 19.2.3.1 (modulus of rupture: from memory)",
            "ACI 318-19, 19.2.3.1 (módulo de ruptura: de memoria)",
        ),
        _source(
            "aci-318-splices",
            "ACI 318-19, 25.4.2.3 and 25.5.2.1 (development and lap: from memory)",
            "ACI 318-19, 25.4.2.3 y 25.5.2.1 (desarrollo y traslape: de memoria)",
        ),
        _source(
            "aci-209r",
            "ACI 209R-92, Table 2.2.1 (strength by age; steam curing: from memory)",
            "ACI 209R-92, Tabla 2.2.1 (resistencia según la edad; vapor: de memoria)",
        ),
        _source(
            "aci-211",
            "ACI 211.1 (absolute volumes: from memory)",
            "ACI 211.1 (volúmenes absolutos: de memoria)",
        ),
        _source(
            "aci-305",
            "ACI 305R (evaporation chart and limit: from memory)",
            "ACI 305R (gráfica y límite de evaporación: de memoria)",
        ),
        _source(
            "aci-308",
            "ACI 308R (seven days of curing above 50 °F: from memory)",
            "ACI 308R (siete días de curado arriba de 50 °F: de memoria)",
        ),
        _source(
            "aci-95-m34",
            "ACI Materials Journal 95(4), 1998, 95-M34 (evaporation equation: from memory)",
            "ACI Materials Journal 95(4), 1998, 95-M34 (ecuación de evaporación: de memoria)",
        ),
        _source(
            "astm-c1074",
            "ASTM C1074 (Nurse-Saul maturity; datum: from memory)",
            "ASTM C1074 (madurez de Nurse-Saul; temperatura base: de memoria)",
        ),
        _source(
            "bia-tn-10",
            "BIA Technical Note 10 (modular brick: from memory)",
            "BIA Technical Note 10 (ladrillo modular: de memoria)",
        ),
        _source(
            "bia-tn-18",
            "BIA Technical Note 18 (thermal expansion: from memory)",
            "BIA Technical Note 18 (dilatación térmica: de memoria)",
        ),
        _source(
            "masonry-handbook",
            "a building handbook, thermal expansion of clay brick",
            "un manual de construcción, dilatación térmica del ladrillo",
        ),
        _source(
            "masonry-journal",
            "a masonry trade journal, restoring mortar joints in historic buildings",
            "una revista de albañilería, restauración de juntas en edificios históricos",
        ),
        _source(
            "builders-pocketbook",
            "an old building trades pocketbook, brickwork (5 % for breakage)",
            "un antiguo libro de bolsillo de oficios, ladrillo (5 % por rotura)",
        ),
        _source(
            "beam-tables",
            "AISC Manual, beam tables, cantilevers (from memory)",
            "Manual AISC, tablas de vigas, voladizos (de memoria)",
        ),
        _source(
            "ps-20",
            "American Softwood Lumber Standard PS 20 (dressed sizes: from memory)",
            "American Softwood Lumber Standard PS 20 (medidas reales: de memoria)",
        ),
        _source(
            "army-carpentry",
            "US Army carpentry course, board feet",
            "Curso de carpintería del Ejército de EE. UU., pies tablares",
        ),
        _source(
            "nbc-9-21",
            "National Building Code of Canada, 9.21.4 (flue height: from memory)",
            "Código Nacional de Canadá, 9.21.4 (altura del tubo: de memoria)",
        ),
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
            "flue-sizes-1995",
            "a fireplace builder's published article on flue sizes, 1995",
            "artículo publicado de un constructor de hogares sobre medidas de tubos, 1995",
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
            "NIOSH 94-110 (revised 2021), revised lifting equation, pp. 7-18",
            "NIOSH 94-110 (revisión de 2021), ecuación revisada de levantamiento, pp. 7-18",
        ),
        _same("nps-brief-2", "NPS Preservation Brief 2"),
        _same("osha-1926-500", "29 CFR 1926.500(b)"),
        _same("osha-1926-501", "29 CFR 1926.501"),
        _same("osha-1926-502", "29 CFR 1926.502(d)"),
        _same("osha-1926-503", "29 CFR 1926.503"),
        _source(
            "osha-1926-50",
            "29 CFR 1926.50(c) (first aid: from memory)",
            "29 CFR 1926.50(c) (primeros auxilios: de memoria)",
        ),
        _source(
            "osha-1926-251",
            "29 CFR 1926.251 (slings and rigging: from memory)",
            "29 CFR 1926.251 (eslingas y aparejo: de memoria)",
        ),
        _source(
            "osha-1926-453",
            "29 CFR 1926.453(b)(2)(ii) (aerial lifts: from memory)",
            "29 CFR 1926.453(b)(2)(ii) (plataformas elevadoras: de memoria)",
        ),
        _source(
            "osha-1926-454",
            "29 CFR 1926.454 (scaffold training: from memory)",
            "29 CFR 1926.454 (capacitación en andamios: de memoria)",
        ),
        _source(
            "osha-1926-1060",
            "29 CFR 1926.1060 (ladder training: from memory)",
            "29 CFR 1926.1060 (capacitación en escaleras: de memoria)",
        ),
        _source(
            "osha-1910-134",
            "29 CFR 1910.134(f)(2) (fit test every 12 months: from memory)",
            "29 CFR 1910.134(f)(2) (prueba de ajuste cada 12 meses: de memoria)",
        ),
        _source(
            "osha-1910-178",
            "29 CFR 1910.178(l)(4)(iii) (evaluation every three years: from memory)",
            "29 CFR 1910.178(l)(4)(iii) (evaluación cada tres años: de memoria)",
        ),
        _source(
            "fmcsa-391-45",
            "49 CFR 391.45 (medical examination every 24 months: from memory)",
            "49 CFR 391.45 (examen médico cada 24 meses: de memoria)",
        ),
        _same("osha-1926-1053", "29 CFR 1926.1053(b)(1), (b)(5)(i)"),
        _source("osha-1926-1153", "29 CFR 1926.1153, Table 1", "29 CFR 1926.1153, Tabla 1"),
        _source(
            "osha-1926-1153-limits",
            "29 CFR 1926.1153(b), (d) (action level, permissible exposure limit)",
            "29 CFR 1926.1153(b), (d) (nivel de acción, límite de exposición permisible)",
        ),
        _source(
            "osha-1910-95",
            "29 CFR 1910.95, Table G-16a and Appendix A (from memory)",
            "29 CFR 1910.95, Tabla G-16a y Apéndice A (de memoria)",
        ),
        _source(
            "osha-technical-manual",
            "OSHA Technical Manual, section V, chapter 4 (fall protection)",
            "Manual Técnico de OSHA, sección V, capítulo 4 (protección contra caídas)",
        ),
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
