"""Without signal: the network cut in mid-quiz, the tab closed and reopened, signal back; and a phone that is shared."""

from __future__ import annotations

import re
import time
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy import func, select

from tests.shipped import shipped_bank
from trainer.questions import draw
from trainer.records import papers, queries, quizzes
from trainer.records.models import Answer

PASSWORD = "brick and mortar"
QUESTIONS = ("crown-slab-length", "why-the-gap", "crown-slab-width", "flue-projection", "ladder-foot")


@pytest.fixture
def phone(browser: Any) -> Any:
    """A browser context of one phone; losing the signal makes console errors, which are no fault here."""
    context = browser.new_context(viewport={"width": 390, "height": 844})
    yield context
    context.close()


def sign_in(page: Any, address: str, name: str) -> None:
    page.goto(address + "/sign-in")
    page.get_by_label("Sign-in name").fill(name)
    page.get_by_label("Password").fill(PASSWORD)
    page.get_by_role("button", name="Sign in", exact=True).click()
    page.wait_for_load_state()


def kept_addresses(page: Any) -> set[str]:
    """The addresses of the pages kept in this browser."""
    return set(
        page.evaluate(
            """async () => {
              const names = (await caches.keys()).filter((name) => name.startsWith("pages-"));
              const keys = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
              return keys.flat().map((key) => new URL(key.url).pathname + new URL(key.url).search);
            }"""
        )
    )


def until(what: Any, seconds: float = 40) -> None:
    end = time.monotonic() + seconds
    while not what():
        assert time.monotonic() < end, "it did not come to that"
        time.sleep(0.2)


def wait_until_keeping(page: Any) -> None:
    """Something of this person is kept. What could not be fetched is asked for again by the next page that is seen."""
    for left in reversed(range(3)):
        try:
            until(lambda: kept_addresses(page), 15)
        except AssertionError:
            if not left:
                raise
            page.reload()
        else:
            return


def wait_until_filled(page: Any) -> None:
    until(lambda: "/kept" in kept_addresses(page))


def wait_for_paper(page: Any, paper: int) -> None:
    until(lambda: {f"/papers/{paper}/{n}" for n in range(1, 6)} <= kept_addresses(page))


def paper_for(site: Any, who: str) -> int:
    bank = shipped_bank().questions
    with site.store.write() as session:
        made = quizzes.assign(
            session, site.people["tom"], datetime.now(UTC), title="First week", people=[site.people[who].id],
            questions=list(QUESTIONS), pass_mark=60, due=datetime.now(UTC) + timedelta(days=3), same_numbers=True,
            bank=bank, draw=draw, token=f"for {who}",
        )  # fmt: skip
    return made.papers[0]


def stored(site: Any, who: str, paper: int) -> dict[int, str]:
    """What was typed, by position of the answered questions."""
    with site.store.read() as session:
        questions = queries.paper(session, site.people[who], paper).questions
    return {one.position: one.answer.typed for one in questions if one.answer is not None}


def rows(site: Any) -> int:
    with site.store.read() as session:
        return session.scalar(select(func.count()).select_from(Answer))


def give(page: Any, number: str) -> None:
    """Answer the question that is shown: a length, or the first option."""
    field = page.locator("form[data-quiz] input.answer")
    if field.count():
        field.fill(number)
    else:
        page.locator("form[data-quiz] input[name=answer]").first.check()
    with page.expect_navigation():
        page.locator("form[data-quiz] button.button-primary").first.click()


def started(site: Any, phone: Any) -> tuple[Any, int]:
    """A page of Luis at the first question of a paper, and the paper."""
    paper = paper_for(site, "luis")
    page = phone.new_page()
    sign_in(page, site.address, "luis")
    page.goto(f"{site.address}/papers/{paper}")
    page.get_by_role("button", name="Start").click()
    page.wait_for_url(re.compile(rf"/papers/{paper}/\d+$"))
    return page, paper


def answer_waits(site: Any, phone: Any) -> tuple[Any, int]:
    """The same, with one answer given after the signal was cut."""
    page, paper = started(site, phone)
    wait_for_paper(page, paper)
    phone.set_offline(True)
    give(page, "44 in")
    page.locator("[data-say=waiting]:visible").wait_for()
    return page, paper


def test_the_network_is_cut_in_mid_quiz_and_every_answer_is_stored_once(site: Any, phone: Any) -> None:
    page, paper = started(site, phone)
    wait_for_paper(page, paper)
    wait_until_filled(page)

    # One answer with signal, as ever: read back first where it is a number.
    first = page.url
    while page.url == first:
        give(page, "40 1/2 in")
    assert len(stored(site, "luis", paper)) == 1

    phone.set_offline(True)
    given = []
    for number in ("41 1/2 in", "42 1/4 in"):
        given.append(int(page.url.rsplit("/", 1)[1]))
        give(page, number)
        page.locator("[data-say=waiting]:visible").wait_for()
        assert f"not yet sent: {len(given)}" in page.locator("#signal").inner_text()
        assert "No signal" in page.locator("#signal").inner_text()
    assert len(stored(site, "luis", paper)) == 1

    # The tab is closed and reopened, still without signal: what was given is there, and one more is given.
    page.close()
    page = phone.new_page()
    page.goto(f"{site.address}/kept")
    page.locator("[data-answers] a").nth(1).wait_for()
    listed = " ".join(page.locator("[data-answers]").inner_text().split())
    assert listed.count("kept on this phone, not yet sent") == 2 and "First week" in listed
    page.get_by_role("link", name="Go on with First week").click()
    page.wait_for_url(re.compile(rf"/papers/{paper}/\d+$"))
    left = next(n for n in range(1, 6) if n not in {*given, *stored(site, "luis", paper)})
    page.goto(f"{site.address}/papers/{paper}/{left}")
    give(page, "43 in")
    given.append(left)
    page.goto(f"{site.address}/papers/{paper}/{left}")
    page.locator("[data-say=here]:visible").wait_for()
    page.close()

    phone.set_offline(False)
    page = phone.new_page()
    page.goto(f"{site.address}/lessons")
    until(lambda: len(stored(site, "luis", paper)) == 4)
    page.goto(f"{site.address}/kept")
    page.get_by_text("None: everything you answered here is stored.").wait_for()
    assert set(given) <= set(stored(site, "luis", paper)) and rows(site) == 4
    page.reload()
    page.wait_for_load_state("networkidle")
    assert rows(site) == 4


def test_an_answer_whose_confirmation_was_lost_is_stored_once(site: Any, phone: Any) -> None:
    page, _paper = started(site, phone)
    # The server has stored this form's answer, and the browser does not know: the same form waits here too.
    reader = page.locator("#signal").get_attribute("data-reader")
    fields = page.evaluate(
        """async (reader) => {
          const form = document.querySelector("form[data-quiz]");
          const field = form.querySelector("input.answer");
          if (field) field.value = "40 in"; else form.querySelector("input[name=answer]").checked = true;
          const fields = [...new FormData(form).entries()];
          await kept.keep(reader, location.pathname, fields);
          await fetch(location.href, {method: "POST", body: new URLSearchParams(fields), headers: {Accept: "application/json"}});
          return fields;
        }""",
        reader,
    )
    assert fields and rows(site) == 1
    page.goto(f"{site.address}/kept")
    page.get_by_text("None: everything you answered here is stored.").wait_for()
    assert rows(site) == 1


def test_an_answer_refused_meanwhile_is_shown_and_not_lost(site: Any, phone: Any) -> None:
    page, paper = answer_waits(site, phone)
    with site.store.write() as session:
        papers.hand_in(session, site.people["luis"], datetime.now(UTC), paper)
    phone.set_offline(False)
    page.goto(f"{site.address}/kept")
    item = page.locator("[data-answers] li", has_text="not taken")
    item.wait_for()
    assert "This paper is closed; it takes no more answers." in item.inner_text()
    assert rows(site) == 0
    page.reload()
    item.wait_for()  # until its person takes it away
    item.get_by_role("button").click()
    item.get_by_role("button", name="Tap again").click()
    page.get_by_text("None: everything you answered here is stored.").wait_for()


def test_the_reference_opens_without_signal_after_one_visit(site: Any, phone: Any) -> None:
    page = phone.new_page()
    chimney = "/take-off/sheet?chimney_length=40+1%2F2+in&chimney_width=24+in&flue_1=13+x+13+in&poured_on=2026-12-01"
    sign_in(page, site.address, "luis")
    page.goto(site.address + chimney)
    wait_until_filled(page)
    until(lambda: any(one.startswith("/take-off/sheet?") for one in kept_addresses(page)))
    phone.set_offline(True)
    for address, heading in (
        ("/lessons", "Lessons"),
        ("/lessons/crown-geometry", "Crown geometry"),
        ("/glossary", "Words of the trade"),
        ("/calculations", "Calculations"),
        ("/calculations/crown.slab", "slab"),
        ("/take-off", "Take-off of a chimney"),
        (chimney, "Job sheet"),
        ("/kept", "On this phone"),
    ):
        page.goto(site.address + address)
        assert heading.lower() in page.locator("h1").first.inner_text().lower(), address
        page.locator("[data-say=old]:visible").wait_for()
    assert page.locator("[data-chimney]:visible a").get_attribute("href").endswith(chimney)
    page.goto(site.address + "/")  # how the home-screen icon starts
    assert page.url.endswith("/kept")
    page.goto(site.address + "/board")
    assert "No signal" in page.locator("h1").inner_text()
    # What an old copy must not say.
    assert not any(one.startswith(("/board", "/today", "/job-check")) for one in kept_addresses(page))


def test_signing_out_and_someone_else_signing_in_clear_what_is_private(site: Any, phone: Any) -> None:
    page, _paper = answer_waits(site, phone)
    phone.set_offline(False)
    page.goto(f"{site.address}/account")
    until(lambda: rows(site) == 1)  # there is signal: it is sent

    page.goto(f"{site.address}/lessons")
    assert kept_addresses(page)
    page.goto(f"{site.address}/account")
    page.get_by_role("button", name="Sign out", exact=True).click()
    page.wait_for_url(re.compile("/sign-in"))
    assert kept_addresses(page) == set()
    phone.set_offline(True)
    page.goto(f"{site.address}/lessons/crown-geometry")
    assert "No signal" in page.locator("h1").inner_text()
    phone.set_offline(False)

    # Luis's session ends without a sign-out; Jess takes the phone.
    sign_in(page, site.address, "luis")
    wait_until_keeping(page)
    mine = page.evaluate("caches.keys()")
    page.evaluate(
        "async (reader) => kept.keep(reader, '/papers/1/3', [['answer', 'b'], ['form_token', 'x']])",
        page.locator("#signal").get_attribute("data-reader"),
    )
    phone.clear_cookies()
    sign_in(page, site.address, "jess")
    wait_until_keeping(page)
    hers = page.evaluate("caches.keys()")
    pages = [name for name in hers if name.startswith("pages-")]
    assert len(pages) == 1 and pages[0] not in mine
    page.goto(f"{site.address}/kept")
    page.locator("[data-say=others]:visible").wait_for()
    assert page.locator("[data-answers] a").count() == 0 and rows(site) == 1


def test_the_worker_replaces_its_caches_when_the_files_change(site: Any, phone: Any) -> None:
    page = phone.new_page()
    sign_in(page, site.address, "luis")
    wait_until_keeping(page)
    page.evaluate("caches.open('assets-of-an-older-version')")
    page.evaluate("async () => { const one = await navigator.serviceWorker.ready; await one.unregister(); }")
    page.goto(f"{site.address}/lessons")
    until(lambda: "assets-of-an-older-version" not in page.evaluate("caches.keys()"))
    assert sum(name.startswith("assets-") for name in page.evaluate("caches.keys()")) == 1


def test_without_scripts_nothing_of_it_is_shown_or_needed(site: Any, open_page: Any) -> None:
    page = open_page(scripts=False)
    sign_in(page, site.address, "luis")
    assert page.locator("#signal:visible").count() == 0
    page.goto(f"{site.address}/kept")
    assert "needs signal when it is answered" in page.locator("main").inner_text()
