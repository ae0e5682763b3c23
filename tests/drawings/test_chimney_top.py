"""A drawn chimney top: each fault shows at its own place and nowhere else, and the drawing is what it says.

Outside checks: ASTM C1283 8.2, 8.3.1 and 8.5 and Michigan R 408.30547b for overhang, edge, drip and flue height of what
is drawn as sound; WCAG 2.2, 2.5.5 (44 px) for the marks.
"""

from __future__ import annotations

import math
import re
from collections import Counter
from itertools import combinations
from xml.etree import ElementTree

import pytest

from trainer.drawings import chimney_top
from trainer.drawings.chimney_top import FAULTS, PLACES, SHAPES, ChimneyTop, Mark, neighbourhood, places
from trainer.drawings.chimney_top.layout import Layout
from trainer.drawings.chimney_top.marks import spots
from trainer.errors import UnknownName

SVG = "{http://www.w3.org/2000/svg}"
SOUND = {f"{flues} x {tile:g} in": ChimneyTop(flues=flues, tile=tile) for flues, tile in SHAPES}
_, ONE, TWO = SOUND.values()
FAULTY = [
    pytest.param(top, place, fault, id=f"{name} {place} {fault}")
    for name, top in SOUND.items()
    for place in places(top.flues)
    for fault, part in FAULTS.items()
    if part == PLACES[place]
]
CONCRETE_MUST = 2.0  # in, overhang and edge, ASTM C1283 8.2 and 8.3.1
DRIP_MUST = 1.5  # in, drip from the wall, ASTM C1283 8.3.1 and Michigan R 408.30547b
FLUE_MOST = 4.0  # in, flue above the crown, ASTM C1283 8.5


def with_fault(top, place, fault):
    return ChimneyTop(
        **{**{n: getattr(top, n) for n in top.__dataclass_fields__}, "faults": ((place, fault),)}
    )


def root(top, marks=(), language="en"):
    return ElementTree.fromstring(chimney_top.draw(top, marks, language).svg)


def points(element):
    """Corners of a shape on the sheet."""
    get = element.get
    if element.tag == f"{SVG}path":
        return _walk(get("d"))
    if element.tag == f"{SVG}rect":
        x, y, w, h = (float(get(each)) for each in ("x", "y", "width", "height"))
        return [(round(a, 2), round(b, 2)) for a in (x, x + w) for b in (y, y + h)]
    if element.tag == f"{SVG}circle":
        return [(float(get("cx")), float(get("cy")))]
    if element.tag == f"{SVG}text":
        return [(float(get("x")), float(get("y")))]
    return []


def _walk(data):
    found, x, y = [], 0.0, 0.0
    for command, rest in re.findall(r"([MLHVhvlz])([^MLHVhvlzZ]*)", data.replace("Z", "z")):
        numbers = [float(each) for each in re.findall(r"-?\d*\.?\d+", rest)]
        if command in "ML":
            x, y = numbers
        elif command == "l":
            x, y = x + numbers[0], y + numbers[1]
        elif command in "Hh":
            x = numbers[0] + (x if command == "h" else 0)
        elif command in "Vv":
            y = numbers[0] + (y if command == "v" else 0)
        if command != "z":
            found.append((round(x, 2), round(y, 2)))
    return found


def drawn(top):
    """Every corner of everything drawn, with the look of its group; hatching left out, it follows its outline."""
    tree, found = root(top), Counter()
    for group in tree.findall(f"{SVG}g"):
        if group.get("stroke-width") == ".6" and group.get("class") == "fine":
            continue
        for element in group:
            found.update((group.get("class"), point) for point in points(element))
    return found


def part(tree, name):
    (one,) = [each for each in tree.iter() if each.get("data-part") == name]
    corners = points(one)
    return (
        min(x for x, _ in corners),
        min(y for _, y in corners),
        max(x for x, _ in corners),
        max(y for _, y in corners),
    )


def outline(tree):
    """Corners of the right-hand side of the crown, from its top at the flue outwards."""
    return next(points(each) for each in tree.iter() if each.get("data-part") == "right-concrete")


def has(tree, name):
    return any(each.get("data-part") == name for each in tree.iter())


@pytest.mark.parametrize(("top", "place", "fault"), FAULTY)
def test_a_fault_shows_at_its_own_place_and_only_there(top, place, fault):
    faulty = with_fault(top, place, fault)
    lay = Layout(top)
    before, after = drawn(top), drawn(faulty)
    gone, new = before - after, after - before
    changed = {
        point
        for one, other in ((gone, new), (new, gone))
        for look, point in one
        if not _near(look, point, other)
    }
    assert changed, "the fault is not drawn"
    target, scale = spots(Layout(faulty))[place][1], lay.view.scale
    # A corner that moved lies within 5 in of where the mark points.
    assert min(math.dist(target, point) for point in changed) < 5 * scale
    left, top_, right, bottom = _home(lay, place)
    outside = [
        (x, y) for x, y in changed if not (left - 0.1 <= x <= right + 0.1 and top_ - 0.1 <= y <= bottom + 0.1)
    ]
    assert not outside


def _near(look, point, others):
    """Whether the same corner is there, a rounding apart."""
    return any(look == each and math.dist(point, other) < 0.03 for each, other in others)


def _home(lay, place):
    """The part of the sheet that a place's faults may change."""
    view, near = lay.view, neighbourhood(place)
    crown_top, wall_foot = view.y(lay.top.deep + 2), view.y(lay.cut_bottom)
    flue = {"left": lay.top.flue_names[0], "right": lay.top.flue_names[-1]}
    if near == "left":
        return 0, crown_top, view.x(lay.tiles[flue[near]][0]), wall_foot
    if near == "right":
        return view.x(lay.tiles[flue[near]][1]), crown_top, 360, wall_foot
    if near in lay.tiles:
        one, other = lay.tiles[near]
        return view.x(one - 0.6), view.y(lay.top_height) - 6, view.x(other + 0.6), wall_foot
    if near == "roof":
        return view.x(0), view.y(lay.face_bottom) - 4, 360, view.y(lay.face_bottom) + 60
    x, y = spots(lay)[place][1]
    return x - 11 * view.scale, y - 4 * view.scale, x + 11 * view.scale, y + 4 * view.scale


@pytest.mark.parametrize("top", SOUND.values(), ids=SOUND)
def test_sound_work_is_what_the_standards_ask(top):
    lay, tree = Layout(top), root(top)
    scale = lay.view.scale
    walls = [each for each in tree.iter() if each.get("data-part") == "wall"]
    wall_right = max(x for wall in walls for x, _ in points(wall))
    concrete = part(tree, "right-concrete")
    assert (concrete[2] - wall_right) / scale >= CONCRETE_MUST
    corners = outline(tree)
    edge = [y for x, y in corners if x == concrete[2]]
    assert (max(edge) - min(edge)) / scale >= CONCRETE_MUST - 0.01
    groove = [
        x for x, y in corners if concrete[3] - y > 0.3 * scale and concrete[3] - y < scale and x > wall_right
    ]
    assert len(groove) == 2
    assert (min(groove) - wall_right) / scale >= DRIP_MUST
    # The fall: ASTM C1283 8.1 asks for 10 degrees.
    (flue_y,) = {y for x, y in corners if x == concrete[0] and y < concrete[3] - 2 * scale}
    assert math.degrees(math.atan2(min(edge) - flue_y, concrete[2] - concrete[0])) >= 9.9
    for flue in top.flue_names:
        height = (lay.view.y(top.deep) - lay.view.y(top.deep + top.height(flue))) / scale
        assert 2.0 <= height <= FLUE_MOST


def test_the_faults_are_what_they_say():
    def tree(place, fault, top=ONE):
        return root(with_fault(top, place, fault))

    lay = Layout(ONE)
    scale, face = lay.view.scale, lay.view.x(lay.half)
    assert part(tree("right-edge", "no-overhang"), "right-concrete")[2] == pytest.approx(face, abs=0.01)
    thin = outline(tree("right-edge", "thin-edge"))
    outer = [y for x, y in thin if x == max(x for x, _ in thin)]
    assert (max(outer) - min(outer)) / scale < CONCRETE_MUST
    smooth = outline(tree("right-edge", "no-drip"))
    assert not [
        x for x, y in smooth if x > face + 1 and lay.view.y(0) - y < 2 * scale and y < lay.view.y(0) - 0.1
    ]
    assert not has(tree("left-joint", "no-sealant"), "left-sealant")
    assert has(tree("left-joint", "no-sealant"), "left-bond-break")
    assert not has(tree("left-joint", "stuck-to-wall"), "left-bond-break")
    for fault, compare in (("flat-crown", "level"), ("slopes-in", "up"), ("cracked-crown", "down")):
        (_, at_flue), (_, at_edge), *_ = outline(tree("right-wash", fault))
        assert {"level": at_edge == at_flue, "up": at_edge < at_flue, "down": at_edge > at_flue}[compare]
    assert has(tree("right-wash", "mortar-over-crown"), "right-mortar")
    form = tree("right-steel", "steel-at-form")
    assert part(form, "right-steel")[2] == pytest.approx(part(form, "right-concrete")[2], abs=0.01)
    sound = root(ONE)
    assert part(sound, "right-concrete")[2] - part(sound, "right-steel")[2] >= ONE.cover * scale - 0.01
    assert not has(tree("right-steel", "no-steel"), "right-steel")
    open_ = tree("left-opening", "opening-uncovered")
    assert not has(open_, "left-board")
    assert part(open_, "left-concrete")[3] > lay.view.y(-3)
    assert part(open_, "left-concrete")[2] == pytest.approx(lay.view.x(lay.tiles["flue"][0]), abs=0.01)
    tight = tree("flue-gap", "no-bond-break")
    assert part(tight, "left-concrete")[2] == pytest.approx(lay.view.x(lay.tiles["flue"][0]), abs=0.01)
    assert lay.view.x(lay.tiles["flue"][0]) - part(sound, "left-concrete")[2] >= 0.5 * scale
    assert not has(tree("flue-gap", "gap-unsealed"), "flue-sealant")
    crown = lay.view.y(ONE.deep)
    assert part(tree("flue-rim", "flue-too-low"), "flue")[1] == pytest.approx(crown, abs=0.01)
    assert (crown - part(tree("flue-rim", "flue-too-high"), "flue")[1]) / scale > FLUE_MOST + 2


@pytest.mark.parametrize("top", SOUND.values(), ids=SOUND)
def test_marks_lie_far_enough_apart_for_a_finger(top):
    # 44 px (WCAG 2.2, 2.5.5) on a drawing 340 px wide, whose sheet is 360 wide.
    apart = 44 * 360 / 340
    every = [
        top,
        *(with_fault(top, place, fault) for t, place, fault in (p.values for p in FAULTY) if t is top),
    ]
    for one in every:
        where = spots(Layout(one))
        assert set(where) == set(places(one.flues))
        for (a, (one_spot, _)), (b, (other_spot, _)) in combinations(where.items(), 2):
            assert max(abs(one_spot[0] - other_spot[0]), abs(one_spot[1] - other_spot[1])) >= apart * 0.7, (
                a,
                b,
            )
            assert math.dist(one_spot, other_spot) >= apart, (a, b)
        assert all(12 <= spot[0] <= 348 for spot, _ in where.values())


@pytest.mark.parametrize("language", ["en", "es"])
def test_marks_are_numbered_and_described(language):
    marks = [Mark(n, place, f"said {place}") for n, place in enumerate(places(2), start=1)]
    drawing = chimney_top.draw(TWO, marks, language)
    tree = ElementTree.fromstring(drawing.svg)
    assert [each.text for each in tree.iter(f"{SVG}text")][-len(marks) :] == [
        str(mark.number) for mark in marks
    ]
    assert all(f"{mark.number}, {mark.said}." in drawing.description for mark in marks)
    assert set(drawing.spots) == {mark.number for mark in marks}
    assert tree.get("viewBox") == drawing.view_box
    _, top, width, height = (float(each) for each in drawing.view_box.split())
    assert all(0 < x < width and top < y < top + height for x, y in drawing.spots.values())
    assert len(drawing.svg.encode()) < 20_000


def test_the_sheet_has_the_same_size_whatever_the_faults():
    boxes = {}
    for name, top in SOUND.items():
        faulty = [with_fault(t, place, fault) for t, place, fault in (p.values for p in FAULTY) if t is top]
        boxes[name] = {chimney_top.draw(one, []).view_box for one in (top, *faulty)}
    assert all(len(each) == 1 for each in boxes.values())


def test_refuses_a_fault_where_it_cannot_be():
    with pytest.raises(UnknownName, match="no 'no-drip' at 'flue-rim'"):
        ChimneyTop(faults=(("flue-rim", "no-drip"),))
    with pytest.raises(UnknownName, match="flue2-rim"):
        ChimneyTop(faults=(("flue2-rim", "flue-too-low"),))
