"""A person confirms in a real browser: what they see, what one key does, and that nothing they did is ever lost."""

import signal
import subprocess
import sys
import time
import urllib.request
from decimal import Decimal
from pathlib import Path

from playwright.sync_api import Browser
from sitting import Open, Sitting

from firstcap.schema.vocabulary import DecisionAction, TermState
from firstcap.store.catalogue import Catalogue, StoredTerm


def document(catalogue: Catalogue, name: str) -> str:
    return next(row.document_id for row in catalogue.documents() if row.file_name.startswith(name))


def terms(catalogue: Catalogue, name: str) -> list[StoredTerm]:
    return catalogue.terms(document(catalogue, name))


def at(catalogue: Catalogue, name: str, turn: int) -> str:
    """The address of the card that holds a term of a document."""
    return f"/confirm?order=document&at={terms(catalogue, name)[turn].term_id}"


def holding(catalogue: Catalogue, name: str, quote: str) -> str:
    """The address of the card of the term that was read from these words."""
    term = next(one for one in terms(catalogue, name) if any(quote in (e.quote or "") for e in one.term.evidence))
    return f"/confirm?order=document&at={term.term_id}"


def test_one_key_confirms_and_the_next_one_comes(sit: Open, catalogue: Catalogue) -> None:
    tab = sit()
    assert tab.title == "The document itself"
    tab.act("y")
    assert tab.said == "Confirmed."
    assert "keeps" in tab.sentence or "is free from defects" in tab.sentence
    first = tab.sentence
    tab.act("y")
    assert tab.sentence != first
    assert [act.action for act in catalogue.decisions()] == [DecisionAction.CONFIRM] * 2
    assert {act.reviewer for act in catalogue.decisions()} == {"R. Alder"}


def test_the_sentence_stands_above_the_strip_with_its_words_underlined(sit: Open, catalogue: Catalogue) -> None:
    tab = sit(holding(catalogue, "cobble", "for ten years from purchase"))
    assert "for 120 months (10 years) from purchase" in tab.sentence
    strip = tab.page.locator(".strip.main").first
    sentence, paper = tab.page.locator(".sentence").first.bounding_box(), strip.bounding_box()
    assert sentence and paper and sentence["y"] + sentence["height"] <= paper["y"] <= sentence["y"] + 260
    tab.page.get_by_role("button", name="120 months").focus()
    lit = strip.locator(".words.on title").all_text_contents()
    assert any("time limit" in label for label in lit)
    assert tab.page.evaluate("fetch(document.querySelector('.strip image').href.baseVal).then(r => r.status)") == 200


def test_a_table_is_confirmed_in_one_look_and_undone_in_one_act(sit: Open, catalogue: Catalogue) -> None:
    tab = sit(at(catalogue, "brack", 2))
    rows = tab.page.locator("tr.row")
    assert tab.title == "6 promises made together" and rows.count() == 6
    assert tab.page.locator(".strip.main .whole").count() == 3
    tab.act("y")
    assert tab.said == "Confirmed all 6."
    decided = [stored.state for stored in terms(catalogue, "brack")]
    assert decided.count(TermState.CONFIRMED) == 6
    tab.act("u")
    assert tab.title == "6 promises made together" and tab.said == "Taken back: the confirmation."
    assert {stored.state for stored in terms(catalogue, "brack")} == {TermState.PROPOSED}


def test_a_single_cell_of_a_table_is_corrected(sit: Open, catalogue: Catalogue) -> None:
    tab = sit(at(catalogue, "brack", 2))
    tab.page.get_by_role("row").filter(has_text="900,000 gal").get_by_role("button", name="volume limit").click()
    tab.page.locator("#written").fill("2.2 MG")
    understood = tab.page.locator("#understood")
    understood.filter(has_text="2,200,000 gal").wait_for()
    assert "until 2,200,000 gal (written “2.2 MG”) are registered" in understood.inner_text()
    tab.write("2.2 MG")
    tab.page.locator("tr.row").filter(has_text="2,200,000 gal").filter(has_text="corrected").wait_for()
    changed = [stored for stored in terms(catalogue, "brack") if stored.state is TermState.CORRECTED]
    assert [stored.term.volume_cap_usgal for stored in changed] == [Decimal(2_200_000)]
    tab.settled()
    tab.act("u")
    assert TermState.CORRECTED not in {stored.state for stored in terms(catalogue, "brack")}


def test_nonsense_is_refused_with_a_reason_and_changes_nothing(sit: Open, catalogue: Catalogue) -> None:
    tab = sit(at(catalogue, "cobble", 0))
    tab.page.get_by_role("button", name="time limit").first.click()
    tab.page.locator("#written").fill("15")
    tab.page.locator("#understood.refused").filter(has_text="a number without years, months or days").wait_for()
    tab.write("fifteen moons")
    tab.page.locator("#understood.refused").filter(has_text="is not understood as a time").wait_for()
    assert catalogue.decisions() == []
    tab.press("Escape")
    assert tab.page.locator("#written").count() == 0


def test_a_value_is_chosen_from_the_list(sit: Open, catalogue: Catalogue) -> None:
    tab = sit(at(catalogue, "cobble", 0))
    tab.page.get_by_role("button", name="start: correct").first.click()
    tab.page.get_by_role("button", name="delivery", exact=True).click()
    tab.page.locator("#understood").filter(has_text="delivery").wait_for()
    tab.write("delivery")
    tab.page.locator(".sentence").filter(has_text="from delivery").wait_for()
    assert terms(catalogue, "cobble")[0].term.start_event == "delivery"


def test_a_struck_promise_keeps_its_reason(sit: Open, catalogue: Catalogue) -> None:
    tab = sit(at(catalogue, "cobble", 0))
    tab.press("x")
    tab.page.locator("#written").wait_for()
    tab.write("it is an example, no promise")
    tab.page.locator("#said").filter(has_text="Struck.").wait_for()
    struck = terms(catalogue, "cobble")[0]
    assert struck.state is TermState.STRUCK
    assert catalogue.decisions()[-1].note == "it is an example, no promise"
    tab.go(at(catalogue, "cobble", 0))
    assert "it is an example, no promise (R. Alder)" in tab.page.locator("#card").inner_text()


def test_clauses_are_confirmed_corrected_and_struck_like_promises(sit: Open, catalogue: Catalogue) -> None:
    tab = sit("/confirm?order=document&family=duties")
    assert tab.title == "Duties"
    lines = tab.page.locator("li.row")
    count = lines.count()
    lines.first.get_by_role("button", name="strike").click()
    tab.page.locator("#written").wait_for()
    tab.write("it is the supplier's own duty")
    tab.page.locator("li.row.struck").wait_for()
    tab.settled()
    tab.act("y")
    acts = catalogue.decisions()
    assert [act.action for act in acts] == [DecisionAction.STRIKE] + [DecisionAction.CONFIRM] * (count - 1)
    assert all((act.field or "").startswith("duty.") for act in acts)


def test_facts_of_the_document_are_corrected_and_confirmed(sit: Open, catalogue: Catalogue) -> None:
    tab = sit("/confirm?order=document&family=document")
    tab.page.get_by_role("button", name="revision: correct").click()
    tab.page.locator("#written").fill("D")
    tab.write("D")
    tab.page.locator("dd").filter(has_text="D").first.wait_for()
    tab.settled()
    tab.act("y")
    assert catalogue.documents()[0].revision == "D"
    assert [act.action for act in catalogue.decisions()] == [DecisionAction.CORRECT, DecisionAction.CONFIRM]


def test_a_missed_promise_is_added_by_drawing_around_its_words(sit: Open, catalogue: Catalogue) -> None:
    tab = sit(f"/documents/{document(catalogue, 'brack')[:20]}/pages/1")
    draw(tab, 50, 120, 560, 148)
    draft = tab.page.locator("article.draft").first
    draft.wait_for()
    assert "is free from defects in materials and workmanship for 12 months (1 year) from installation" in " ".join(
        draft.inner_text().split()
    )
    draft.get_by_role("button", name="time limit").click()
    tab.write("2 years")
    draft = tab.page.locator("article.draft").first
    draft.filter(has_text="24 months (2 years)").wait_for()
    draft.get_by_role("button", name="Add this promise").click()
    tab.page.locator(".decided").filter(has_text="Added.").wait_for()
    added = [stored for stored in terms(catalogue, "brack") if stored.state is TermState.ADDED]
    assert [stored.term.duration_months for stored in added] == [Decimal(24)]
    assert added[0].term.evidence[0].boxes[0].page == 1
    assert (catalogue.decisions()[-1].note or "").startswith("stands at: p. 1: Brackenspur warrants")


def draw(tab: Sitting, x0: float, top: float, x1: float, bottom: float) -> None:
    """A frame on the page, in points of the page."""
    sheet = tab.page.locator("#sheet")
    box = sheet.bounding_box()
    width = float(tab.page.locator("#whole").get_attribute("data-width") or 0)
    assert box
    scale = box["width"] / width
    mouse = tab.page.mouse
    mouse.move(box["x"] + x0 * scale, box["y"] + top * scale)
    mouse.down()
    mouse.move(box["x"] + x1 * scale, box["y"] + bottom * scale, steps=3)
    mouse.up()


def test_words_are_framed_and_added_with_the_keyboard_alone(sit: Open, catalogue: Catalogue) -> None:
    before = len(terms(catalogue, "brack"))
    tab = sit(at(catalogue, "brack", 0))
    tab.press("p")
    tab.page.locator("#sheet").wait_for()
    tab.ready()
    tab.page.locator("#sheet").focus()
    tab.press("ArrowDown", *["ArrowDown"] * 7, *["Shift+ArrowDown"] * 1)  # the frame comes, then goes down to the words
    tab.press("Enter")
    tab.page.locator("article.draft").first.wait_for()
    tab.page.get_by_role("button", name="Add this promise").first.focus()
    tab.press("Enter")
    tab.page.locator(".decided").filter(has_text="Added.").wait_for()
    assert len(terms(catalogue, "brack")) == before + 1
    tab.press("Escape")
    tab.page.wait_for_url("**/confirm?*at=*")


def test_words_that_promise_nothing_as_a_whole_fill_the_form_one_by_one(sit: Open, catalogue: Catalogue) -> None:
    tab = sit(f"/documents/{document(catalogue, 'cobble')[:20]}/pages/1")
    draw(tab, 270, 314, 352, 331)
    draft = tab.page.locator("article.draft").first
    draft.wait_for()
    assert "until 700,000 gal" in draft.inner_text() or "700,000 gal (written" in draft.inner_text()


def test_two_people_never_overwrite_each_other(sit: Open, catalogue: Catalogue) -> None:
    place = at(catalogue, "cobble", 0)
    first, second = sit(place), sit(place, reviewer="M. Fescue")
    first.page.get_by_role("button", name="time limit").first.click()
    first.page.locator("#written").fill("15 yrs")
    first.write("15 yrs")
    first.page.locator(".sentence").filter(has_text="180 months").wait_for()
    second.act("y")
    assert "R. Alder has corrected it meanwhile. Nothing was written" in second.said
    assert "180 months (15 years)" in second.sentence
    assert len({act.reviewer for act in catalogue.decisions()}) == 1
    second.act("y")
    assert catalogue.decisions()[-1].reviewer == "M. Fescue"


def test_text_that_is_script_is_shown_as_words(sit: Open, catalogue: Catalogue) -> None:
    tab = sit(at(catalogue, "hostile", 0))
    assert tab.page.title().endswith("· firstcap")
    tab.go("/")
    assert "<script>" in tab.page.locator("main").inner_text() or "hostile.pdf" in tab.page.locator("main").inner_text()
    tab.go(f"/documents/{document(catalogue, 'hostile')[:20]}")
    assert tab.page.evaluate("document.querySelectorAll('main script, main img').length") == 0
    tab.go(f"/documents/{document(catalogue, 'hostile')[:20]}/pages/1")
    draw(tab, 50, 40, 600, 200)
    tab.page.locator("blockquote.read").wait_for()
    assert "<script>document.title='owned'</script>" in tab.page.locator("blockquote.read").inner_text()
    assert tab.page.evaluate("document.querySelectorAll('main img, main script').length") == 0
    assert "owned" not in tab.page.title()


def test_what_is_skipped_comes_again_and_the_order_can_be_chosen(sit: Open) -> None:
    tab = sit("/confirm")
    first = tab.page.locator("#card").get_attribute("data-key")
    tab.press("n")
    tab.page.wait_for_url("**/confirm?after=*")
    assert tab.page.locator("#card").get_attribute("data-key") != first
    tab.page.locator(".choice summary").click()
    tab.page.get_by_label("Supplier").select_option("Cobblemere Instrument Co.")
    tab.page.wait_for_url("**supplier=Cobblemere*")
    assert "cobblemere_letter.pdf" in tab.page.locator(".place").inner_text()


def test_the_stack_says_what_is_safe_to_use(sit: Open, catalogue: Catalogue) -> None:
    tab = sit(at(catalogue, "brack", 2))
    tab.act("y")
    tab.go("/")
    row = tab.page.get_by_role("row").filter(has_text="brackenspur_low_flow.pdf")
    assert "6 of 9" in row.inner_text()
    assert "6 of" in tab.page.locator(".lead").inner_text()


def start(catalogue: Path, port: int = 0) -> tuple["subprocess.Popen[str]", str]:
    command = [sys.executable, "-m", "firstcap.app", "confirm", "--no-browser", "--reviewer", "R. Alder"]
    command += ["--catalogue", str(catalogue), "--port", str(port)]
    served = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    assert served.stdout
    return served, served.stdout.readline().strip()


def test_a_server_that_is_killed_loses_nothing_and_the_page_goes_on(browser: Browser, catalogue: Catalogue) -> None:
    served, address = start(catalogue.path)
    with browser.new_context() as tab:
        page = tab.new_page()
        sitting = Sitting(page, address.rstrip("/"))
        sitting.go("/confirm?order=document")
        sitting.act("y")
        title = sitting.title
        served.kill()
        served.wait()
        page.keyboard.press("y")
        page.locator("#banner").filter(has_text="What was saved is saved").wait_for()
        served.stdout and served.stdout.close()
        served, _ = start(catalogue.path, int(address.rstrip("/").rpartition(":")[2]))
        try:
            page.locator("#banner").wait_for(state="hidden")
            sitting.ready()
            assert sitting.title == title  # the act that did not reach the server was not made
            sitting.act("y")
            assert len(catalogue.decisions()) == 2
        finally:
            served.send_signal(signal.SIGINT)
            assert served.wait(10) == 0
            served.stdout and served.stdout.close()


def test_health_answers_once_it_is_ready(catalogue: Catalogue) -> None:
    served, address = start(catalogue.path)
    try:
        begun = time.monotonic()
        with urllib.request.urlopen(f"{address}health", timeout=5) as answer:
            assert answer.status == 200
        assert time.monotonic() - begun < 5
    finally:
        served.send_signal(signal.SIGINT)
        assert served.wait(10) == 0
        served.stdout and served.stdout.close()
