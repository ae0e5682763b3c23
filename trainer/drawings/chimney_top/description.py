"""What a drawn chimney top is: its sizes, the places on it that can be pointed at, and the faults placed there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from trainer.errors import UnknownName
from trainer.languages import Text

# Fault to the part of the chimney top that can have it.
FAULTS: Final[dict[str, str]] = {
    "no-overhang": "edge",
    "thin-edge": "edge",
    "no-drip": "edge",
    "no-sealant": "joint",
    "stuck-to-wall": "joint",
    "flat-crown": "wash",
    "slopes-in": "wash",
    "mortar-over-crown": "wash",
    "cracked-crown": "wash",
    "steel-at-form": "steel",
    "no-steel": "steel",
    "opening-uncovered": "opening",
    "no-bond-break": "gap",
    "gap-unsealed": "gap",
    "flue-too-low": "rim",
    "flue-too-high": "rim",
    "cracked-tile": "tile",
    "open-joint": "brick",
    "loose-brick": "brick",
    "spalled-brick": "brick",
    "loose-flashing": "flashing",
}

# Place to its part. A place begins with the neighbourhood it lies in; two faults never share a neighbourhood, so that
# each is seen by itself.
_SIDES: Final = ("edge", "joint", "wash", "steel", "opening")
_FLUE: Final = ("gap", "rim", "tile")
PLACES: Final[dict[str, str]] = {
    **{f"{side}-{part}": part for side in ("left", "right") for part in _SIDES},
    **{f"{flue}-{part}": part for flue in ("flue", "flue1", "flue2") for part in _FLUE},
    **{f"{where}-brick": "brick" for where in ("high", "middle", "low")},
    "roof-flashing": "flashing",
}

# How many flues and how wide a tile [in]: the tops that are drawn large enough for a phone.
SHAPES: Final = ((1, 8.5), (1, 13.0), (2, 8.5))


def neighbourhood(place: str) -> str:
    """Where a place lies: "left", "flue2", "middle" …"""
    return place.partition("-")[0]


def places(flues: int) -> tuple[str, ...]:
    """The places of a chimney top with one flue or two, in the order of `PLACES`."""
    there = {"flue"} if flues == 1 else {"flue1", "flue2"}
    absent = {"flue", "flue1", "flue2"} - there
    return tuple(place for place in PLACES if neighbourhood(place) not in absent)


@dataclass(frozen=True, slots=True)
class ChimneyTop:
    """A chimney top as it is drawn, all sizes in inches.

    flues: 1 or 2; tile: outside of a tile along the cut; overhang, edge, deep: of the crown, thickness at its edge and
    at the flue; gap: round a flue; projection: a sound flue above the crown; too_high: a flue that should be cut;
    cover: concrete between steel and form; faults: place and fault of each, none for a sound chimney
    """

    flues: int = 1
    tile: float = 13.0
    overhang: float = 2.0
    edge: float = 4.0
    deep: float = 5.5
    gap: float = 0.5
    projection: float = 3.0
    too_high: float = 10.0
    cover: float = 1.5
    faults: tuple[tuple[str, str], ...] = ()

    def __post_init__(self) -> None:
        here = places(self.flues)
        for place, fault in self.faults:
            if place not in here or FAULTS.get(fault) != PLACES[place]:
                raise UnknownName(
                    Text(
                        en="a chimney top with %(flues)s flues has no %(fault)s at %(place)s.",
                        es="una chimenea de %(flues)s tubos no tiene %(fault)s en %(place)s.",
                    ),
                    flues=self.flues,
                    fault=repr(fault),
                    place=repr(place),
                )

    def fault(self, place: str) -> str:
        """The fault at a place, "" when the work there is sound."""
        return dict(self.faults).get(place, "")

    def height(self, flue: str) -> float:
        """How far a flue ("flue", "flue1", "flue2") stands above the crown."""
        fault = self.fault(f"{flue}-rim")
        return {"flue-too-low": 0.0, "flue-too-high": self.too_high}.get(fault, self.projection)

    @property
    def flue_names(self) -> tuple[str, ...]:
        """The flues from left to right."""
        return ("flue",) if self.flues == 1 else ("flue1", "flue2")
