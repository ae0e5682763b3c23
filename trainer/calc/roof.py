"""The roof underfoot: its slope, its protection and the debris stacked on it.

roof.slope, roof.protect, roof.debris
"""

from __future__ import annotations

from typing import Any, Final

from trainer.calc import cautions
from trainer.calc.algebra import (
    IN_PER_FT,
    SQIN_PER_SQFT,
    Constant,
    arctangent,
    at_most,
    round_up,
    square_root,
)
from trainer.calc.entries import Entry, Part
from trainer.calc.spec import Input, Quantity, Shop, calculation
from trainer.languages import Text

LOW_SLOPE_RISE: Final = Constant(4.0, "in/ft")  # 29 CFR 1926.500(b): low-slope is 4 in 12 or less


def along_slope(ratio: Any) -> Any:
    """Length on the slope for each unit of run; ratio: rise over run."""
    return square_root(1 + ratio**2)


RISE: Final = Input(
    "rise", "r", "in/ft", Text(en="rise in 12 inches of run", es="subida en 12 pulgadas de avance"), high=48.0
)


@calculation(
    "roof.slope",
    title=Text(en="Roof slope", es="Pendiente del techo"),
    purpose=Text(
        en="Angle of a roof, how much longer the slope is than its run, and whether it counts as low-slope.",
        es="Ángulo del techo, cuánto más larga es la pendiente que su avance, y si es de baja pendiente.",
    ),
    inputs=(RISE,),
    quantities=(
        Quantity("ratio", "q", "", Text(en="rise over run", es="subida entre avance")),
        Quantity("angle", "α", "degree", Text(en="angle of the roof", es="ángulo del techo")),
        Quantity(
            "slope_factor",
            "k",
            "",
            Text(
                en="length on the slope for each unit of run", es="largo inclinado por cada unidad de avance"
            ),
        ),
        Quantity(
            "low_slope",
            "low",
            "",
            Text(en="low-slope (4 in 12 or less)", es="baja pendiente (4 en 12 o menos)"),
            kind="flag",
        ),
    ),
    results=("angle", "slope_factor", "low_slope"),
    sources=("geometry", "osha-1926-500"),
    sample={"rise": "6 in 12"},
    cautions=(cautions.FALL,),
)
def slope(v: Any) -> None:
    """Right triangle of rise and 12 in of run."""
    v.ratio = v.rise / IN_PER_FT
    v.angle = arctangent(v.ratio)
    v.slope_factor = along_slope(v.ratio)
    v.low_slope = at_most(v.rise, LOW_SLOPE_RISE)


@calculation(
    "roof.protect",
    title=Text(en="Protecting the roof round a chimney", es="Proteger el techo alrededor de la chimenea"),
    purpose=Text(
        en="Roof to cover round a chimney, measured on the slope, and sheets to bring.",
        es="Techo que se cubre alrededor de una chimenea, medido en la pendiente, y hojas que hay que llevar.",
    ),
    inputs=(
        Input(
            "chimney_length",
            "L",
            "in",
            Text(en="chimney length at the roof", es="largo de la chimenea en el techo"),
            low=8.0,
            high=240.0,
        ),
        Input(
            "chimney_width",
            "W",
            "in",
            Text(en="chimney width at the roof", es="ancho de la chimenea en el techo"),
            low=8.0,
            high=240.0,
        ),
        Input(
            "margin",
            "m",
            "in",
            Text(
                en="cover on every side of the chimney, measured level",
                es="lo que se cubre por lado, medido a nivel",
            ),
            default=48.0,
            low=1.0,
            high=600.0,
        ),
        RISE,
        Input(
            "sheet",
            "s",
            "ft",
            Text(en="size of a sheet", es="medida de una hoja"),
            default=Entry(length=4.0, width=8.0),
            kind="size",
            parts=(Part("length", "s_l", "ft", 0.5, 100.0), Part("width", "s_w", "ft", 0.5, 100.0)),
            example="4 x 8 ft",
        ),
    ),
    quantities=(
        Quantity(
            "outer_area",
            "A_1",
            "ft2",
            Text(en="chimney and margin, as seen from above", es="chimenea y margen, vistos de arriba"),
        ),
        Quantity(
            "chimney_area",
            "A_2",
            "ft2",
            Text(en="chimney, as seen from above", es="chimenea, vista de arriba"),
        ),
        Quantity(
            "slope_factor",
            "k",
            "",
            Text(
                en="length on the slope for each unit of run", es="largo inclinado por cada unidad de avance"
            ),
        ),
        Quantity(
            "area",
            "A",
            "ft2",
            Text(en="roof to cover, on the slope", es="techo que se cubre, en la pendiente"),
        ),
        Quantity("sheets_exact", "n", "count", Text(en="sheets before rounding", es="hojas sin redondear")),
        Quantity(
            "sheets",
            "N",
            "count",
            Text(en="sheets, offcuts used", es="hojas, usando los recortes"),
            rounds="sheets_exact",
        ),
    ),
    results=("area", "sheets"),
    sources=("geometry", "common-practice"),
    notes=(
        Text(
            en="A margin of 4 ft on every side is our own figure without a source. A sheet that can slide is "
            "worse than none: fasten it.",
            es="El margen de 4 ft por lado es cifra nuestra, sin fuente. Una hoja que resbala es peor que nada: "
            "fíjela.",
        ),
    ),
    sample={"chimney_length": "40 1/2 in", "chimney_width": "24 in", "rise": "6 in 12"},
    cautions=(cautions.FALL,),
)
def protect(v: Any) -> None:
    """The ring round the chimney as seen from above, times the slope factor. The margin of 4 ft is common practice."""
    v.outer_area = (v.chimney_length + 2 * v.margin) * (v.chimney_width + 2 * v.margin) / SQIN_PER_SQFT
    v.chimney_area = v.chimney_length * v.chimney_width / SQIN_PER_SQFT
    v.slope_factor = along_slope(v.rise / IN_PER_FT)
    v.area = (v.outer_area - v.chimney_area) * v.slope_factor
    v.sheets_exact = v.area / (v.sheet.length * v.sheet.width)
    v.sheets = round_up(v.sheets_exact)


@calculation(
    "roof.debris",
    title=Text(en="Debris on the roof", es="Escombro en el techo"),
    purpose=Text(
        en="Weight of what comes off, trips down with the bucket, and how much roof a stack of it needs.",
        es="Peso de lo que se quita, viajes con la cubeta, y cuánto techo necesita lo apilado.",
    ),
    inputs=(
        Input(
            "volume",
            "V",
            "ft3",
            Text(en="concrete and mortar taken off, solid", es="concreto y mortero que se quitan, macizos"),
            default=0.0,
            high=2700.0,
        ),
        Input(
            "density",
            "D",
            "lb/ft3",
            Text(en="density of that", es="densidad de eso"),
            default=145.0,
            low=20.0,
            high=200.0,
        ),
        Input(
            "brick",
            "n",
            "count",
            Text(en="bricks taken off", es="ladrillos que se quitan"),
            default=0.0,
            high=1e5,
        ),
        Input(
            "brick_weight",
            "w_b",
            "lb",
            Text(en="weight of a brick with its mortar", es="peso de un ladrillo con su mortero"),
            default=4.5,
            low=0.5,
            high=50.0,
        ),
        Input(
            "bucket_load",
            "c",
            "lb",
            Text(en="load of one trip", es="carga de un viaje"),
            default=Shop("carry_limit"),
            low=1.0,
            high=500.0,
        ),
        Input(
            "allowed_load",
            "p",
            "lb/ft2",
            Text(en="load that the roof may carry", es="carga que aguanta el techo"),
            default=20.0,
            low=5.0,
            high=200.0,
        ),
    ),
    quantities=(
        Quantity("weight", "w", "lb", Text(en="weight of the debris", es="peso del escombro")),
        Quantity("trips_exact", "N_0", "count", Text(en="trips before rounding", es="viajes sin redondear")),
        Quantity("trips", "N", "count", Text(en="trips", es="viajes"), rounds="trips_exact"),
        Quantity(
            "stack_area",
            "A",
            "ft2",
            Text(
                en="roof to spread it over, if it is left there", es="techo en que se reparte, si se deja ahí"
            ),
        ),
    ),
    results=("weight", "trips", "stack_area"),
    sources=("geometry", "common-practice"),
    notes=(
        Text(
            en="20 lb/ft² is a usual roof load from memory, and 4.5 lb a brick has no source. What this roof "
            "carries is for a qualified person to say; best leave nothing on it.",
            es="20 lb/ft² es una carga usual de techo, de memoria, y 4.5 lb por ladrillo no tiene fuente. Lo que "
            "aguanta este techo lo dice una persona calificada; mejor no deje nada arriba.",
        ),
    ),
    sample={"volume": "5.3 ft3", "brick": "60"},
    cautions=(cautions.ROOF_LOAD,),
)
def debris(v: Any) -> None:
    """20 lb/ft² and 4.5 lb a brick are common practice: what a roof carries is for a qualified person to say."""
    v.weight = v.volume * v.density + v.brick * v.brick_weight
    v.trips_exact = v.weight / v.bucket_load
    v.trips = round_up(v.trips_exact)
    v.stack_area = v.weight / v.allowed_load
