"""brick.courses: courses in a height, with one course enlarged. brick.wall and mortar.wall: the face of a wall in
running bond. A wall too large to show brick by brick is broken off.
"""

from __future__ import annotations

import math
from typing import Final

from trainer.drawings.dimensions import ROW, Note, across, column, remarks, upright
from trainer.drawings.figure import Figure
from trainer.drawings.hatching import break_line
from trainer.drawings.sheet import WIDTH, Sheet, View, number
from trainer.drawings.words import Words
from trainer.languages import Text

HIGH, WIDE = 190.0, 236.0  # page units a wall may fill
LEAST, SHORTEST = 7.0, 21.0  # page units a course, and a brick's length, take at least
COLUMN: Final = 196.0


def bricks(
    sheet: Sheet, view: View, size: tuple[float, float], brick: tuple[float, float], joint: float, part: str
) -> None:
    """Running bond over `size` (length, height) from the view's origin up, a bed joint under every course.

    brick: length and height; bricks at the ends are cut to the wall's length, the top course to its height
    """
    data, step = "", brick[0] + joint
    for row in range(math.ceil(size[1] / (brick[1] + joint) - 1e-9)):
        low = row * (brick[1] + joint) + joint
        high = min(low + brick[1], size[1])
        if high <= low:
            continue
        left = -step / 2 * (row % 2)
        while left < size[0] - 1e-9:
            x1, x2 = max(0.0, left), min(left + brick[0], size[0])
            if x2 - x1 > 1e-9:
                (px, py), wide, tall = view.at(x1, high), view.scale * (x2 - x1), view.scale * (high - low)
                data += f"M{number(px)} {number(py)}h{number(wide)}v{number(tall)}h-{number(wide)}z"
            left += step
    sheet.reach(view.y(0), view.y(size[1]))
    sheet.path("brick", data, part, weight=0.8)


def make_courses(words: Words) -> tuple[Sheet, str]:
    height, brick, courses = (words.number(name) for name in ("height", "brick_height", "courses"))
    told = words.may_say("courses") and words.may_say("joint_for_fit")
    joint = words.number("joint_for_fit" if told else "joint")
    course, long = brick + joint, max(3.4 * brick, 0.5)
    shown = int(courses) if told else 3
    scale = max(HIGH / height, LEAST / course)
    shown = min(shown, max(3, int(HIGH / (scale * course))))
    broken = shown < courses
    scale = min(scale, HIGH / (shown * course), 118 / (2.5 * long))
    view = View(scale, 66.0, 0.0)
    sheet = Sheet()
    step = 2.5 * long
    bricks(sheet, view, (step, shown * course), (long, brick), joint, "courses")
    top = view.y(shown * course)
    sheet.line("ink", (view.x(0) - 5, 0.0), (view.x(step) + 5, 0.0))
    if broken:
        break_line(sheet, (view.x(0), top - 5), (view.x(step), top - 5), 6)
        top -= 10
    upright(sheet, top, 0.0, view.x(0) - 16, view.x(0), words.lines("height"))
    line = view.x(step) + 14
    if shown > 1 and scale * course > 9:
        upright(sheet, view.y(course), 0.0, line, view.x(step))
    foot = _course(sheet, words, joint, told, top)
    said = [words.say("courses"), words.say("joint_for_fit"), *(words.given("joint") if told else [])]
    remarks(sheet, said, max(foot, 8.0))
    return sheet, _describe_courses(words)


def _course(sheet: Sheet, words: Words, joint: float, told: bool, top: float) -> float:
    """One course with the joint under it, enlarged, at the right; returns the page height below."""
    brick = words.number("brick_height")
    view = View(min(96 / (brick + joint), 60.0), 226.0, 0.0)
    view = View(view.scale, view.x0, top + 22 + view.scale * (brick + joint))
    sheet.write(view.x0 - 4, top + 8, words.text("One course", "Una hilada"))
    high, wide = brick + joint, 44 / view.scale
    sheet.rect("void", view.at(0, joint), view.at(wide, 0), "bed-joint")
    sheet.rect("brick", view.at(0, high), view.at(wide, joint), "one-brick")
    line = view.x(wide) + 10
    upright(sheet, view.y(high), view.y(joint), line, view.x(wide))
    upright(sheet, view.y(joint), view.y(0), line, view.x(wide))
    notes = [
        Note((line, view.y(joint + brick / 2)), words.value("brick_height"), dot=False),
        Note((line, view.y(joint / 2)), words.value("joint_for_fit" if told else "joint"), dot=False),
    ]
    return column(sheet, notes, line + 14, top + 10)


def _describe_courses(words: Words) -> str:
    sizes = words.list("height", "brick_height", "joint", "courses", "joint_for_fit")
    return words.text(
        f"Courses of brick that fill a height, to scale, with one course enlarged: {sizes}.",
        f"Hiladas de ladrillo que llenan una altura, a escala, con una hilada ampliada: {sizes}.",
    )


def make_wall(words: Words) -> tuple[Sheet, str]:
    length, height = words.number("wall_length"), words.number("wall_height")
    brick, joint = (words.number("brick_length"), words.number("brick_height")), words.number("joint")
    scale = max(min(WIDE / length, HIGH / height), LEAST / (brick[1] + joint), SHORTEST / (brick[0] + joint))
    seen = min(length, WIDE / scale), min(height, HIGH / scale)
    wide, tall = scale * seen[0], scale * seen[1]
    view = View(scale, (WIDTH - wide) / 2 + 10, 0.0)
    sheet = Sheet()
    sheet.rect(
        "void", view.at(0, seen[1]), view.at(*(seen[0], 0)), "wall" if seen == (length, height) else ""
    )
    bricks(sheet, view, seen, brick, joint, "bricks")
    left, right, top = view.x0, view.x0 + wide, -tall
    if seen[1] < height:
        break_line(sheet, (left, top - 5), (right, top - 5), 5)
        top -= 10
    if seen[0] < length:
        break_line(sheet, (right + 6, 0.0), (right + 6, -tall), 5)
        right += 12
    across(sheet, left, right, ROW, 0.0, words.say("wall_length"), below=True)
    upright(sheet, top, 0.0, left - 16, left, words.lines("wall_height"))
    results = [
        name for name in ("bricks", "bed_length", "head_length", "total_length") if name in words.values
    ]
    said = [_named(words, name) for name in results]
    remarks(sheet, [*words.given("brick_length", "brick_height", "joint"), *said], ROW + 22)
    return sheet, _describe_wall(words, said)


def _named(words: Words, name: str) -> str:
    if name == "total_length":
        return words.text("joint in all ", "junta en total ") + words.value(name)
    return words.say(name)


def _describe_wall(words: Words, said: list[str]) -> str:
    sizes = words.list("wall_length", "wall_height", "brick_length", "brick_height", "joint")
    results = "; ".join(each.replace("?", words.unsaid) for each in said)
    return words.text(
        f"The face of a brick wall in running bond, to scale: {sizes}; {results}.",
        f"La cara de una pared de ladrillo traslapado a la mitad, a escala: {sizes}; {results}.",
    )


FIGURES = (
    Figure(
        "brick.courses", "brick.courses", Text(en="Brick courses", es="Hiladas de ladrillo"), make_courses
    ),
    Figure("brick.wall", "brick.count", Text(en="Brick wall", es="Pared de ladrillo"), make_wall),
    Figure("mortar.wall", "mortar.joints", Text(en="Joints of a wall", es="Juntas de una pared"), make_wall),
)
