"""A plain figure of a person, for scale and for where the body is."""

from __future__ import annotations

from trainer.drawings.sheet import Sheet, View, number, points

SHOULDER = 0.82  # height of the shoulders, and of a back D-ring, as a share of the stature


def standing(sheet: Sheet, view: View, x: float, feet: float, stature: float, reach: float = 0.0) -> None:
    """Someone upright, seen from the side, in the view's own units; hung from the shoulders it looks the same.

    reach: how far in front the hands are held out, level with the waist; 0 lets the arms hang
    """
    if view.scale * stature < 12:
        return

    def at(dx: float, share: float) -> tuple[float, float]:
        return view.at(x + dx * stature, feet + share * stature)

    head = at(0.0, 0.925)
    sheet.circle("ink", head, view.scale * stature * 0.07)
    hip, neck = at(0.0, 0.5), at(0.0, SHOULDER)
    body = [neck, hip]
    legs = points([at(-0.06, 0.0), hip, at(0.07, 0.0)]) + points([at(-0.06, 0.0), at(-0.01, 0.0)])
    legs += points([at(0.07, 0.0), at(0.12, 0.0)])
    hand = view.at(x + reach, feet + 0.55 * stature) if reach else at(0.05, 0.48)
    arm = points([at(0.0, 0.8), at(0.07, 0.63) if not reach else at(0.06, 0.66), hand])
    weight = max(1.6, min(4.0, view.scale * stature * 0.03))
    sheet.reach(view.y(feet), head[1] - view.scale * stature * 0.07)
    sheet.path("ink", points(body) + legs + arm, weight=float(number(weight)))
