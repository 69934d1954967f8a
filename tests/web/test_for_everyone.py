"""The pages are for everyone: axe-core finds nothing in any of them, light or dark, at 200 %, and on a narrow screen.

axe-core checks against WCAG 2.2 A and AA and its own best practices.
"""

import pytest
from axe_playwright_python.sync_playwright import Axe
from sitting import Open, Sitting

from firstcap.store.catalogue import Catalogue


def violations(tab: Sitting) -> list[str]:
    found = Axe().run(tab.page).response["violations"]
    return [f"{one['id']}: {one['help']} ({', '.join(str(node['target']) for node in one['nodes'])})" for one in found]


@pytest.fixture
def addresses(catalogue: Catalogue) -> list[str]:
    row = next(row for row in catalogue.documents() if row.file_name.startswith("brack"))
    document = row.document_id[:20]
    table = catalogue.terms(row.document_id)[2].term_id
    return [
        "/",
        f"/documents/{document}",
        f"/documents/{document}/pages/1?at={table}",
        f"/confirm?at={table}",
        *(f"/confirm?document={document}&family={family}" for family in ("document", "materials", "duties")),
        "/confirm?supplier=nobody",
    ]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_axe_finds_nothing_in_any_page(sit: Open, addresses: list[str], scheme: str) -> None:
    tab = sit(addresses[0], color_scheme=scheme)
    found = {}
    for address in addresses:
        tab.go(address)
        tab.page.evaluate("Promise.all(document.getAnimations().map((one) => one.finished))")
        found[address] = violations(tab)
    assert {address: told for address, told in found.items() if told} == {}


def test_axe_finds_nothing_while_a_value_is_corrected_or_a_promise_struck(sit: Open, addresses: list[str]) -> None:
    tab = sit(addresses[3])
    tab.page.get_by_role("button", name="size: correct").first.click()
    tab.page.locator("#written").wait_for()
    assert violations(tab) == []
    tab.press("Escape")
    tab.press("x")
    tab.page.locator("#written").wait_for()
    assert violations(tab) == []
    tab.press("Escape")
    tab.press("?")
    tab.page.locator("dialog[open]").wait_for()
    assert violations(tab) == []


@pytest.mark.parametrize(("width", "height"), [(640, 450), (360, 740)], ids=["at 200 % of 1280", "narrow"])
def test_nothing_is_cut_off_when_everything_is_twice_as_large(
    sit: Open, addresses: list[str], width: int, height: int
) -> None:
    tab = sit(addresses[0])
    tab.page.set_viewport_size({"width": width, "height": height})
    for address in addresses:
        tab.go(address)
        wide = tab.page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
        assert wide <= 0, address


def test_the_keyboard_alone_goes_through_values_and_rows_and_the_focus_is_seen(sit: Open, addresses: list[str]) -> None:
    tab = sit(addresses[3])
    tab.press("f")
    focused = tab.page.locator(":focus")
    assert focused.get_attribute("data-field") is not None
    assert focused.evaluate("(one) => getComputedStyle(one).outlineStyle") == "solid"
    tab.page.locator("tr.row [data-edit]").first.focus()
    tab.press("ArrowRight", "ArrowDown")
    row = tab.page.locator("tr.row.on")
    assert row.count() == 1 and "3/4 in" in row.inner_text()
    tab.press("Enter")
    tab.page.locator("#written:focus").wait_for()
    tab.press("Escape")
    assert tab.page.locator(":focus").get_attribute("data-field") == "cap"


def test_single_keys_can_be_switched_off(sit: Open, catalogue: Catalogue) -> None:
    tab = sit()
    tab.press("?")
    tab.page.locator("#single-keys").uncheck()
    tab.page.get_by_role("button", name="Close").click()
    tab.press("y")
    tab.page.get_by_role("button", name="Keys").wait_for()
    assert catalogue.decisions() == []


def test_state_is_said_in_words_and_not_by_colour_alone(sit: Open, addresses: list[str]) -> None:
    tab = sit(addresses[3])
    tab.act("y")
    tab.go(addresses[3])
    assert tab.page.locator("tr.row .mark").all_inner_texts() == ["✓ confirmed"] * 6
    assert tab.page.locator(".words line").count() >= 12  # an underline beside the tint
