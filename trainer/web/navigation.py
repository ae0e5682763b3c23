"""The bar: which pages a person is offered, by role."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

from flask import current_app, g, request, url_for

from trainer.web.i18n import _l

APPRENTICE: Final = frozenset({"apprentice"})
LEARNERS: Final = frozenset({"apprentice", "trainer"})
STAFF: Final = frozenset({"trainer", "owner"})
OWNER: Final = frozenset({"owner"})
EVERYONE: Final = LEARNERS | STAFF

# endpoint, label, who is offered it; in the order of use for someone who holds every role
ENTRIES: Final[tuple[tuple[str, Any, frozenset[str]], ...]] = (
    ("today.page", _l("Today"), APPRENTICE),
    ("board.page", _l("Board"), STAFF),
    ("job_check.page", _l("Check a job"), EVERYONE),
    ("review.index", _l("Review"), STAFF),
    ("assign.index", _l("Assign"), STAFF),
    ("signoffs.index", _l("Sign-offs"), STAFF),
    ("takeoff.page", _l("Take-off"), EVERYONE),
    ("lessons.index", _l("Lessons"), EVERYONE),
    ("practice.index", _l("Practice"), LEARNERS),
    ("questions.index", _l("Questions"), STAFF),
    ("calculations.index", _l("Calculate"), EVERYONE),
    ("record.mine", _l("My record"), APPRENTICE),
    ("people.index", _l("People"), OWNER),
    ("standard.page", _l("Standard"), OWNER),
    ("shop.page", _l("Shop"), OWNER),
)


@dataclass(frozen=True, slots=True)
class Entry:
    """One entry of the bar. current: "page", "true" (a page below it) or "" """

    label: str
    href: str
    current: str


def nav() -> tuple[Entry, ...]:
    """The entries of the signed-in person, in order; none when nobody is signed in."""
    if g.person is None:
        return ()
    return tuple(
        Entry(str(label), url_for(endpoint), _current(endpoint))
        for endpoint, label, roles in ENTRIES
        if roles & g.person.roles and endpoint in current_app.view_functions
    )


def here() -> str:
    """The address to come back to after the language is switched."""
    if request.method == "GET" and request.endpoint is not None:
        return request.full_path.rstrip("?")
    rule = request.url_rule
    return request.path if rule is not None and "GET" in (rule.methods or ()) else url_for("account.home")


def _current(endpoint: str) -> str:
    if request.endpoint == endpoint:
        return "page"
    return "true" if endpoint.split(".")[0] == request.blueprint else ""
