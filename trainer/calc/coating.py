"""The water-repellent coat on a crown.

coating.area, coating.pails
"""

from __future__ import annotations

from typing import Any

from trainer.calc import cautions
from trainer.calc.algebra import SQIN_PER_SQFT, round_up
from trainer.calc.spec import Input, Quantity, Shop, calculation
from trainer.languages import Text


@calculation(
    "coating.area",
    title=Text(en="Area to coat on a crown", es="Área de la corona que se cubre"),
    purpose=Text(
        en="The top of a crown and its edge all round, the flue openings not coated.",
        es="La cara de arriba de una corona y su orilla por todo alrededor, sin los huecos de los tubos.",
    ),
    inputs=(
        Input(
            "net_area",
            "A_n",
            "ft2",
            Text(en="area of concrete seen from above", es="área de concreto vista desde arriba"),
            low=0.01,
            high=100000.0,
        ),
        Input(
            "perimeter",
            "P",
            "in",
            Text(en="distance round the slab", es="distancia alrededor de la losa"),
            low=1.0,
            high=100000.0,
        ),
        Input(
            "edge_thickness",
            "t",
            "in",
            Text(en="thickness at the edge", es="espesor en la orilla"),
            default=Shop("edge_thickness"),
            low=0.0,
            high=24.0,
        ),
    ),
    quantities=(
        Quantity("edge_area", "A_e", "ft2", Text(en="face of the edge, all round", es="cara de la orilla")),
        Quantity("area", "A", "ft2", Text(en="area to coat", es="área que se cubre")),
    ),
    results=("edge_area", "area"),
    sources=("geometry", "common-practice"),
    sample={"net_area": "8.9 ft2", "perimeter": "153 in"},
)
def area(v: Any) -> None:
    """The top as it lies in plan (its slope adds a few percent at most) and the upright face of the edge."""
    v.edge_area = v.perimeter * v.edge_thickness / SQIN_PER_SQFT
    v.area = v.net_area + v.edge_area


@calculation(
    "coating.pails",
    title=Text(en="Coating for a crown", es="Capa protectora para una corona"),
    purpose=Text(
        en="Brushed coating to bring, by the coverage printed on its label.",
        es="Producto de capa protectora que hay que llevar, según el rendimiento de su etiqueta.",
    ),
    inputs=(
        Input("area", "A", "ft2", Text(en="area to coat", es="área que se cubre"), low=0.01, high=100000.0),
        Input(
            "coats",
            "n",
            "count",
            Text(en="coats", es="manos"),
            default=2.0,
            low=1.0,
            high=10.0,
        ),
        Input(
            "coverage",
            "k",
            "ft2/gal",
            Text(en="coverage of one coat, from the label", es="rendimiento de una mano, de la etiqueta"),
            low=1.0,
            high=1000.0,
        ),
        Input(
            "pail",
            "p",
            "gal",
            Text(en="contents of a pail", es="contenido de una cubeta"),
            default=1.0,
            low=0.1,
            high=55.0,
        ),
    ),
    quantities=(
        Quantity("gallons", "G", "gal", Text(en="coating for all coats", es="producto para todas las manos")),
        Quantity("pails_exact", "N_0", "count", Text(en="pails before rounding", es="cubetas sin redondear")),
        Quantity("pails", "N", "count", Text(en="pails", es="cubetas"), rounds="pails_exact"),
    ),
    results=("gallons", "pails"),
    sources=("product-label", "common-practice"),
    notes=(
        Text(
            en="2 coats and 1 gal pails are our own figures without a source; rough masonry takes more than the "
            "label says.",
            es="2 manos y cubetas de 1 gal son cifras nuestras, sin fuente; una superficie áspera pide más de lo "
            "que dice la etiqueta.",
        ),
    ),
    sample={"area": "8.7 ft2", "coverage": "45 ft2/gal"},
    cautions=(cautions.FALL,),
)
def pails(v: Any) -> None:
    """Area times coats over the coverage of one coat; rough masonry takes more than the label says."""
    v.gallons = v.area * v.coats / v.coverage
    v.pails_exact = v.gallons / v.pail
    v.pails = round_up(v.pails_exact)
