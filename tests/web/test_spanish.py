"""Every page in Spanish: nothing a person sees is left in English."""

from __future__ import annotations

import re
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from babel.messages.pofile import read_po
from lxml import html as lxml_html
from wtforms import SelectField

import trainer
from tests.pages import forms, language, links
from tests.shipped import shipped_content
from trainer.calc.sources import SOURCES
from trainer.records import learning, signoffs
from trainer.web.forms import Form, options

CATALOGUE = Path(trainer.__file__).parent / "translations" / "es" / "LC_MESSAGES" / "messages.po"
PLACE = re.compile(r"%\(\w+\)[a-z]|%%")
SHOWN_ATTRIBUTES = "//@aria-label | //@data-label | //@title | //@placeholder | //@alt"
HIDDEN = (
    "//script | //style | //svg | //article[@class='lesson'] | //header//form | //main//*[@lang='en']"
    " | //pre[@class='file'] | //q[@class='said'] | //*[@hidden]"
)
# Common English words that are no Spanish words: one of them in Spanish text was never marked for translation.
ENGLISH = re.compile(
    r"\b(the|of|and|with|your|this|that|not|is|are|was|were|you|for|from|by|has|been|when|what|who|which|"
    r"only|first|last|name|read|due|passed|reviewed|until|since|person|people|paper|quiz|task|lesson|owner)\b",
    re.IGNORECASE,
)
GIVEN = ("Crowns and roofs",)  # the title of the quiz that `acts` assigns: data, not interface
FEWEST_PAGES = 15


@pytest.fixture(scope="module")
def phrases() -> list[tuple[str, re.Pattern[str]]]:
    """Of each English message of more than two words: its longest fixed part, and its shape with places filled."""
    with CATALOGUE.open("rb") as opened:
        catalogue = read_po(opened, locale="es")
    every = [
        form
        for message in catalogue
        if message.id
        for form in ((message.id,) if isinstance(message.id, str) else message.id)
    ]
    long = [
        form for form in every if len(re.findall(r"[A-Za-z]{2,}", re.sub(r"%\(\w+\)[a-z]", "", form))) > 2
    ]
    assert len(long) > 100
    return [(max(PLACE.split(form), key=len), _shape(form)) for form in long]


def _shape(form: str) -> re.Pattern[str]:
    """The message with anything in its places."""
    return re.compile(".{1,80}?".join(re.escape(part) for part in PLACE.split(form)).removeprefix(".{1,80}?"))


@pytest.fixture
def busy(people, acts, store, clock, sign_in):
    """A shop in which every kind of thing has happened."""
    acts.make_ready(people.apprentice)
    acts.assign(people.apprentice, ["ladder-foot", "crown-slab-length"])
    acts.assign(people.second, ["why-the-gap"])
    for person in (people.apprentice, people.apprentice, people.second):
        number = acts.certificate(person, issuer="Escuela del Valle")
    owner, trainer = sign_in(people.owner, "es"), sign_in(people.trainer, "es")
    tasks = shipped_content().rules.tasks
    for person, passed in ((people.apprentice, True), (people.second, False)):
        task = tasks["don-harness"]
        assert not task.measures
        with store.write() as session:
            signoffs.record(
                session,
                people.trainer,
                clock.now,
                person_id=person.id,
                task=task,
                passed=passed,
                criteria=[passed] * len(task.criteria),
                fails=[] if passed else [0],
                measures={},
                notes="Correas flojas.",
                token=f"harness {person.id}",
            )
    with store.write() as session:
        learning.record_practice(
            session,
            people.apprentice,
            clock.now,
            question="crown-slab-length",
            version=1,
            seed=5,
            typed="52",
            shown="52 in",
            right=False,
            credit=0.0,
            slip=None,
            skills=["slab-size"],
            token="practice",
        )
    trainer.submit(f"/certificates/{number}", {"reason": "Se registró por error."}, form="/withdraw")
    where = f"/board/{people.apprentice.id}/on-the-ground"
    owner.submit(where, {}, form="/grant")
    owner.submit(where, {"prompt": "gap", "reason": "Se soltó."}, form="/suspend")
    owner.submit(where, {"reason": "Se capacitó otra vez."}, form="/lift")
    owner.submit(where, {"prompt": "other", "reason": "Se soltó otra vez."}, form="/suspend")
    owner.submit("/standard", {"overhang": "2 1/2 in"})
    review = "/review/1"
    trainer.submit(review, {"comment1-text": "Bien hecho."}, form="/1/comment")
    trainer.submit(
        review, {"grade1-credit": "0.5", "grade1-reason": "Le faltó decir por qué."}, form="/1/grade"
    )
    return owner, trainer, sign_in(people.apprentice, "es")


def visible(html: str) -> str:
    """What a reader sees or hears of a page, but for lessons, drawings, the language switch and what is marked as English
    because it is meant to be (the glossary is in both languages)."""
    page = lxml_html.fromstring(html)
    for hidden in page.xpath(HIDDEN):
        hidden.drop_tree()
    text = " ".join(" ".join([*page.xpath("//text()"), *page.xpath(SHOWN_ATTRIBUTES)]).split())
    text = re.sub(r"https?://\S+", "", text)
    text = re.sub(
        r"se leyó como: .*? · (valor|correcta)", "", text
    )  # as said to whoever answered, in their language
    text = re.sub(r"pregunta: [\w-]+", "", text)  # a question's id
    for data in (*GIVEN, *(source.title.es for source in SOURCES.values())):
        text = text.replace(data, "")
    return text.replace("Topping Out", "").replace("Ridgeline Chimney Repair", "")


def left_in_english(html: str, phrases: list[tuple[str, re.Pattern[str]]]) -> list[str]:
    text = visible(html)
    sentences = [part for part, shape in phrases if part in text and shape.search(text)]
    words = [text[max(0, found.start() - 40) : found.end() + 40] for found in ENGLISH.finditer(text)]
    return sentences + words


def addresses(html: str) -> list[str]:
    """Where the links of a page lead on this site."""
    found = [urlsplit(link) for link in links(html)]
    return [
        parts.path + (f"?{parts.query}" if parts.query else "")
        for parts in found
        if not parts.netloc and parts.path and not parts.path.endswith(".pdf")
    ]


def kind_of(path: str) -> str:
    """One question stands for the others of practice, one lesson and task for theirs, one set of numbers for all."""
    path = re.sub(r"^/questions/(?!add$|try$|try\?|example)[^/]+", "/questions/x", path)
    path = re.sub(r"^(/calculations/[^?]+)\?.*", r"\1", path)
    path = re.sub(r"/check/[^/]+$", "/check/x", path)
    return re.sub(
        r"^/(practice|lessons)/[^/]+", r"/\1/x", re.sub(r"^/practice/([^/]+)/\d+", r"/practice/\1/0", path)
    )


@pytest.mark.long
@pytest.mark.parametrize("role", ["owner", "trainer", "apprentice"])
def test_no_page_shows_an_english_text(role, busy, phrases):
    """Each page, and each form on it sent empty, so that its messages are seen too."""
    browser = dict(zip(("owner", "trainer", "apprentice"), busy, strict=True))[role]
    waiting, seen, wrong, pages = ["/"], {"/"}, {}, 0
    while waiting:
        path = waiting.pop(0)
        page = browser.get(path)
        if not page.headers["Content-Type"].startswith("text/html"):
            continue
        assert page.status == 200 and language(page.html) == "es", (path, page.status)
        pages += 1
        answers = [page.html]
        for form in forms(page.html):
            fields = {
                item.name: ""
                for item in form.inputs
                if item.name and item.tag != "select" and item.get("type") != "hidden"
            }
            if fields and form.get("method") == "post" and "form" in form.classes:
                action = str(form.get("action") or page.path)
                answer = browser.post(action, fields)
                if (
                    answer.status == 200
                ):  # a form that may be empty leads on, to a page that is looked at itself
                    answers.append(answer.html)
        for html in answers:
            if found := left_in_english(html, phrases):
                wrong[path] = found
        for address in addresses(page.html):
            if kind_of(address) not in seen:
                seen.add(kind_of(address))
                waiting.append(address)
    assert pages >= FEWEST_PAGES or (role == "apprentice" and pages >= 10), sorted(seen)
    assert not wrong, "\n".join(f"{p}: {w}" for p, ws in wrong.items() for w in ws)


def test_the_search_finds_english_where_there_is_some(sign_in, people, phrases):
    found = left_in_english(sign_in(people.owner, "en").get("/people/add").html, phrases)
    assert "As it should stand on records." in found and any("owner" in word.lower() for word in found)


def test_pages_that_only_a_button_leads_to(busy, people, phrases):
    """A new code, a paper from start to hand-in, practice gone wrong, a sign-off read back."""
    owner, trainer, apprentice = busy
    harness = f"/sign-offs/{people.second.id}/don-harness"
    criteria = {str(box["name"]): "y" for box in trainer.get(harness).soup.select("input[name^=criterion-]")}
    seen = [
        owner.submit(f"/people/{people.second.id}", {}, form="/new-code"),
        owner.submit(f"/people/{people.second.id}", {}, form="/deactivate"),
        owner.get(f"/people/{people.second.id}"),
        apprentice.submit("/papers/2", {}, form="/start"),
        apprentice.submit("/papers/2/1", {"answer": "cuatro"}),
        apprentice.submit("/papers/2/1", {"answer": "4 ft"}),
        apprentice.submit("/papers/2/1", {"answer": "4 ft", "confirmed": "4 ft"}),
        apprentice.submit("/papers/2", {}, form="/hand-in"),
        apprentice.submit("/practice/crown-slab-length/7", {"answer": "3 in"}),
        apprentice.submit("/practice/crown-slab-length/7", {"answer": "largo"}),
        trainer.get("/review/2"),
        trainer.get("/assign/2"),
        trainer.submit("/review/2", {}, form="/finish"),
        trainer.submit(f"/sign-offs/{people.apprentice.id}/don-harness", {"outcome": "passed"}),
        trainer.submit(
            f"/sign-offs/{people.apprentice.id}/don-harness", {**criteria, "outcome": "passed", "fail-0": ""}
        ),
    ]
    for page in seen:
        assert page.status == 200 and page.soup.html["lang"] == "es", (page.path, page.status)
        assert left_in_english(page.html, phrases) == [], page.path


@pytest.mark.parametrize(
    "path", ["/sign-in", "/first-sign-in", "/no-such-page", "/people/999", "/board/1/nothing"]
)
def test_pages_outside_and_pages_about_faults(path, visitor, sign_in, people, phrases):
    visitor.post("/language", {"language": "es"})
    for browser in (visitor, sign_in(people.owner, "es")):
        page = browser.get(path)
        assert page.soup.html["lang"] == "es" and left_in_english(page.html, phrases) == []


def test_a_fault_of_ours_and_an_expired_form(broken_route, sign_in, people, phrases):
    owner = sign_in(people.owner, "es")
    page = owner.get(broken_route)
    assert page.status == 500 and left_in_english(page.html, phrases) == []
    expired = owner.client.post("/people/add", data={"name": "Ana"})
    assert expired.status_code == 400 and left_in_english(expired.text, phrases) == []


def test_refusals_at_the_door(visitor, phrases):
    visitor.post("/language", {"language": "es"})
    page = visitor.submit("/sign-in", {"sign_in": "luis", "password": "no es esta"})
    assert page.errors == ["Ese usuario y esa contraseña no corresponden."]
    short = {"sign_in": "luis", "code": "ABCD", "password": "corta", "password_again": "otra"}
    page = visitor.submit("/first-sign-in", short)
    assert any("al menos 10 letras" in error for error in page.errors)
    assert (
        any("no son iguales" in error for error in page.errors) and left_in_english(page.html, phrases) == []
    )


@pytest.mark.parametrize(("wished", "start"), [("en", "Not a valid choice"), ("es", "Opción")])
def test_messages_of_the_form_library_itself_follow_the_language(app, wished, start):
    class Choice(Form):
        one = SelectField("uno", choices=options([("a", "a")]))

    wish = {"Accept-Language": wished}
    with app.test_request_context(method="POST", data={"one": "z"}, headers=wish):
        app.preprocess_request()
        form = Choice(meta={"csrf": False})
        assert not form.validate() and str(form.one.errors[0]).startswith(start), form.one.errors
