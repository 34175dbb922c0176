"""Every part of the look once, in a real browser: readable, usable by keyboard and finger, and silent under the strict policy."""

import re
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

HERE = Path(__file__).resolve().parent
WCAG = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]}}
WIDTHS = (1280, 390)
expect.set_options(timeout=30_000)
PATHS = ("/parts", "/parts/letter", "/parts/set", "/parts/set?light=dim")


@pytest.fixture(autouse=True)
def parts_pages(settings):
    settings.ROOT_URLCONF = "tests.house.parts.urls"
    settings.TEMPLATES = [{**settings.TEMPLATES[0], "DIRS": [*settings.TEMPLATES[0]["DIRS"], HERE / "parts"]}]


@pytest.fixture
def parts(watched: Page, live_server):
    def opened(path="/parts", width=1280):
        watched.set_default_timeout(60_000)
        watched.set_viewport_size({"width": width, "height": 900})
        watched.goto(live_server.url + path)
        return watched

    return opened


def faults(page):
    found = Axe().run(page, options=WCAG).response["violations"]
    return [(each["id"], [node["target"] for node in each["nodes"]][:4], each["help"]) for each in found]


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("path", PATHS)
def test_every_part_passes_axe_and_fits_the_width(parts, path, width):
    page = parts(path, width)
    assert faults(page) == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_a_form_with_mistakes_passes_axe_and_the_summary_has_the_focus(parts):
    page = parts()
    page.get_by_role("button", name="Save the shoot").click()
    expect(page.locator("[data-summary]").first).to_be_focused()
    assert faults(page) == []
    page.get_by_role("link", name="Name of the shoot").click()
    expect(page.get_by_label("Name of the shoot")).to_be_focused()
    assert (
        page.get_by_label("Name of the shoot").get_attribute("aria-describedby")
        == "id_every-title_helptext id_every-title_error"
    )


def test_every_target_is_at_least_44_pixels_high_on_a_phone(parts):
    for path in ("/parts", "/parts/letter"):
        page = parts(path, 390)
        small = page.evaluate(
            """() => [...document.querySelectorAll("button, .btn, .nav a, .tools a, .in, .tick, .choice, .seg label, .opts a, .sheet > header a, .crumb a, .rows > li")]
            .filter(e => e.getClientRects().length && e.getBoundingClientRect().height < 43.5 && !e.closest(".crumb"))
            .map(e => [e.outerHTML.slice(0, 90), e.getBoundingClientRect().height])"""
        )
        assert small == []


def test_tables_keep_their_roles_when_a_phone_makes_blocks_of_them(parts):
    page = parts(width=390)
    row = page.get_by_role("table").first.get_by_role("row").nth(1)
    assert page.evaluate("e => getComputedStyle(e).display", row.element_handle()) == "flex"
    expect(row.get_by_role("rowheader")).to_contain_text("Oystercatcher Pantry")
    expect(row.get_by_role("cell").last).to_have_text("€892.50")


def test_options_are_tabs_for_the_arrow_keys(parts):
    page = parts()
    first, second = page.get_by_role("tab").nth(0), page.get_by_role("tab").nth(1)
    expect(second).to_have_attribute("aria-selected", "true")
    expect(page.get_by_text("Lines of option A")).to_be_hidden()
    second.focus()
    page.keyboard.press("ArrowLeft")
    expect(first).to_be_focused()
    expect(page.get_by_text("Lines of option A")).to_be_hidden()
    page.keyboard.press("Enter")
    expect(page.get_by_text("Lines of option A")).to_be_visible()
    expect(page.get_by_text("Lines of option B")).to_be_hidden()
    page.keyboard.press("ArrowRight")
    page.keyboard.press("Space")
    expect(page.get_by_text("Lines of option B")).to_be_visible()
    expect(page.get_by_role("link", name="Add an option")).to_be_visible()


def test_what_cannot_be_taken_back_is_asked_first(parts):
    page = parts()
    button = page.get_by_role("button", name="Cancel by credit note")
    button.click()
    dialog = page.get_by_role("dialog")
    expect(dialog.get_by_role("button", name="Keep the invoice")).to_be_focused()
    page.keyboard.press("Escape")
    expect(dialog).to_be_hidden()
    expect(button).to_be_focused()
    button.click()
    with page.expect_request(lambda request: request.method == "POST" and "cancel=1" in (request.post_data or "")):
        dialog.get_by_role("button", name="Cancel by credit note").click()


def test_a_line_is_added_and_sent_with_its_own_names(parts):
    page = parts()
    page.get_by_role("button", name="Add a line").click()
    expect(page.get_by_role("group", name="Line 2").get_by_label("What")).to_be_focused()
    page.keyboard.type("Getting ready")
    with page.expect_request(lambda request: request.method == "POST") as sent:
        page.get_by_role("button", name="Save the shoot").click()
    body = sent.value.post_data or ""
    assert re.search(r'name="lines-TOTAL_FORMS"\r\n\r\n2', body)
    assert re.search(r'name="lines-1-what"\r\n\r\nGetting ready', body)


def test_each_file_goes_alone_and_has_its_own_sentence(parts, tmp_path):
    page = parts()
    page.locator("form[data-upload] input[type=file]").set_input_files(
        [
            {"name": "boat.jpg", "mimeType": "image/jpeg", "buffer": b"\xff\xd8\xff\xe0" + b"0" * 9000},
            {"name": "notes.txt", "mimeType": "text/plain", "buffer": b"notes"},
            {"name": "pot.jpg", "mimeType": "image/jpeg", "buffer": b"\xff\xd8\xff\xe0"},
        ]
    )
    page.get_by_role("button", name="Add pictures").click()
    lines = page.locator(".uploads > li")
    expect(lines).to_have_count(3)
    expect(lines.nth(0)).to_contain_text("Taken in")
    expect(lines.nth(0).get_by_role("link", name="WL-1126-014")).to_be_visible()
    expect(lines.nth(1)).to_contain_text(
        "notes.txt is no JPEG. It was not taken in. Export it as JPEG and add it again."
    )
    expect(lines.nth(2)).to_contain_text("Taken in")
    expect(page.get_by_text("2 of 3 taken in.")).to_be_visible()
    expect(page.get_by_role("link", name="Look at the pictures")).to_be_visible()
    assert faults(page) == []


def test_a_signature_is_one_path_of_whole_numbers_and_can_be_cleared(parts):
    page = parts("/parts/letter", 390)
    pad, field = page.locator(".sign"), page.locator("input[name=signature][type=hidden]").last
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()

    def stroke():
        page.mouse.move(box["x"] + 20, box["y"] + 80)
        page.mouse.down()
        page.mouse.move(box["x"] + 120, box["y"] + 30, steps=6)
        page.mouse.move(box["x"] + 220, box["y"] + 90, steps=6)
        page.mouse.up()

    stroke()
    path = field.input_value()
    assert re.fullmatch(r"M\d+ \d+(L\d+ \d+)+", path)
    assert page.locator(".sign path").get_attribute("d") == path
    page.get_by_role("button", name="Clear").click()
    assert not field.input_value()
    stroke()
    page.get_by_label("B: Nine pictures with a portrait").check()
    page.get_by_label("Your full name").fill("Maro Lantadze")
    page.get_by_role("button", name="I agree and sign").click()
    assert page.locator("body").inner_text().startswith("M")


def test_pieces_of_a_page_are_fetched_and_a_failure_is_said(parts):
    page = parts()
    page.get_by_role("button", name="Fetch the total").click()
    expect(page.locator("#got")).to_have_text("€1,885.34")


def test_everything_works_without_script(browser, live_server):
    context = browser.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(live_server.url + "/parts")
    expect(page.get_by_text("Lines of option A")).to_be_visible()
    expect(page.get_by_text("Lines of option B")).to_be_visible()
    page.get_by_role("button", name="Save the shoot").click()
    expect(page.get_by_role("alert").first).to_contain_text("Nothing is saved yet")
    context.close()


def test_the_parts_carry_no_style_and_no_script_of_their_own(parts):
    page = parts()
    html = page.content()
    assert "style=" not in html
    assert not re.search(r"<script(?![^>]*\bsrc=)", html)
    assert not re.search(r"\son[a-z]+=", html)
