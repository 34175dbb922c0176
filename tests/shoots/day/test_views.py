import contextlib
import re
import uuid
from datetime import UTC, datetime, timedelta

import pytest
from django.conf import settings
from django.test import Client
from django.urls import reverse
from django.utils import timezone
from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import expect

from shared.business.queries import zone
from shoots.brief.models import ShootState
from shoots.day import queries
from shoots.day.holding import LIMITS
from shoots.day.models import Mark, Take
from tests.factories.plan import ShotFactory, planned_shoot
from tests.factories.releases import shoot_with_cook

pytestmark = pytest.mark.django_db


def test_one_shot_at_a_time_with_its_cue_in_two_languages(client_for, assistant):
    shoot = planned_shoot()
    shot = shoot.shots.get(title="Lift the lid at the table")
    said = client_for(assistant).get(reverse("on_set", args=[shoot.pk]) + f"?shot={shot.pk}").content.decode()
    assert "Wait." in said
    assert "Warten. Deckel ab." in said
    assert "Steam." in said
    assert said.count('class="btn main act"') == 1


def test_done_leads_to_the_next_again_stays_and_undo_comes_back(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot()
    first, second = shoot.shots.all()[:2]
    page = reverse("on_set", args=[shoot.pk])
    answer = studio.post(reverse("press_take", args=[first.pk]), {"outcome": "done"})
    assert answer.url == f"{page}?after={first.pk}"
    assert f">{second.title}</h1>" in studio.get(answer.url).content.decode()
    answer = studio.post(reverse("undo_take", args=[Take.objects.get().pk]))
    assert f">{first.title}</h1>" in studio.get(answer.url).content.decode()
    first.refresh_from_db()
    assert first.state == "planned"


def test_an_ok_needs_a_name(client_for, owner):
    studio, shot = client_for(owner), planned_shoot().shots.first()
    assert (
        "the name is missing"
        in studio.post(reverse("ok_shot", args=[shot.pk]), {"name": ""}, follow=True).content.decode()
    )
    studio.post(reverse("ok_shot", args=[shot.pk]), {"name": "Maro Lantadze"})
    shot.refresh_from_db()
    assert shot.okd_by == "Maro Lantadze"
    studio.post(reverse("take_back_ok", args=[shot.pk]))
    shot.refresh_from_db()
    assert shot.okd_by == ""


def test_the_end_of_the_day_names_what_was_promised_and_not_taken(client_for, owner):
    shoot = planned_shoot(state=ShootState.CONFIRMED)
    shoot.shots.exclude(title="Hero, from above").update(state="done")
    shoot.shots.filter(title="Hero, from above").update(state="skipped")
    said = client_for(owner).get(reverse("on_set", args=[shoot.pk])).content.decode()
    assert "Promised and not taken" in said
    assert "Bean stew from above" in said
    assert "Mark the shoot as shot" in said


def test_strangers_and_the_accountant_are_refused(client_for, accountant):
    path = reverse("on_set", args=[planned_shoot().pk])
    assert client_for(None).get(path).status_code == 302
    assert client_for(accountant).get(path).status_code == 403


def test_without_javascript_notes_clocks_and_unplanned_shots_are_plain_forms(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot()
    shot = shoot.shots.first()
    page, write = reverse("on_set", args=[shoot.pk]), reverse("write_mark", args=[shoot.pk])
    studio.post(write, {"kind": "plated", "shot": shot.pk, "clock": "foam"})
    said = studio.get(page).content.decode()
    clock = Mark.objects.get()
    assert (clock.words, clock.minutes) == ("Milk or egg foam", 3)
    assert (
        f"<b>Milk or egg foam</b> until {timezone.localtime(clock.at + timedelta(minutes=3), zone(clock.at)):%H:%M}"
        in said
    )
    studio.post(write, {"kind": "cleared", "about": str(clock.key)})
    studio.post(write, {"kind": "note", "shot": shot.pk, "note": "Plate chipped"})
    studio.post(write, {"kind": "unplanned", "shot": shot.pk, "note": "The cook laughs"})
    assert shoot.shots.filter(title="The cook laughs").exists()
    assert "it has no words" in studio.post(write, {"kind": "note", "shot": shot.pk}, follow=True).content.decode()
    assert "Press again" in studio.post(write, {"kind": "dance"}, follow=True).content.decode()
    log = studio.get(reverse("set_log", args=[shoot.pk])).content.decode()
    assert [words in log for words in ("Plate chipped", "Milk or egg foam", "Off the plate")] == [True] * 3


def test_the_end_of_the_day_is_ticked_by_name(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot()
    path = reverse("end_of_day", args=[shoot.pk])
    answer = studio.post(path, {"item": "cards", "name": ""})
    assert (answer.status_code, "Enter the name of whoever looked." in answer.content.decode()) == (422, True)
    said = studio.post(path, {"item": "cards", "name": "Jorun Fennick"}, follow=True).content.decode()
    assert "<span>Jorun Fennick, " in said
    tick = Mark.objects.get()
    said = studio.post(path, {"item": "cards", "name": "Jorun Fennick", "about": str(tick.key)}, follow=True)
    assert "<span>Jorun Fennick, " not in said.content.decode()


def test_hold_limits_are_the_studios_own(client_for, owner):
    studio, path = client_for(owner), reverse("edit_hold_limits")
    minutes = {limit.key: limit.minutes for limit in LIMITS}
    assert studio.post(path, minutes | {"foam": 0}).status_code == 422
    assert studio.post(path, minutes | {"foam": 4}).url == path
    assert 'value="4"' in studio.get(path).content.decode()


def mark_of(shot, **also):
    return {"key": str(uuid.uuid4()), "kind": "done", "shot": shot.pk, "at": timezone.now().isoformat()} | also


def send(studio, shoot, body):
    return studio.post(
        reverse("send_marks", args=[shoot.pk]),
        body,
        content_type="application/json",
        headers={"accept": "application/json"},
    )


def test_only_what_is_held_is_named_and_the_rest_has_its_reason(client_for, owner):
    studio, shoot = client_for(owner), planned_shoot()
    good, bad = mark_of(shoot.shots.first()), mark_of(shoot.shots.first(), at="noon")
    now = timezone.now().isoformat()
    answer = send(studio, shoot, {"now": now, "marks": [good, bad, "x", good]}).json()
    assert answer["held"] == [good["key"]]
    assert answer["refused"] == [
        {"key": bad["key"], "why": "This mark has no time."},
        {"key": None, "why": "The server could not read this mark."},
    ]
    assert answer["day"]["held"] == Mark.objects.count() == 1
    assert Mark.objects.get().by == owner.username


@pytest.mark.parametrize(
    "body", ["", "{", "[]", "7", '{"marks": 7}', "[" * 100_000, '{"marks": ' + str([1] * 201) + "}"]
)
def test_what_is_no_list_of_marks_is_refused_in_words(body, client_for, owner):
    answer = send(client_for(owner), planned_shoot(), body)
    assert (answer.status_code, "could not be read" in answer.json()["say"]) == (400, True)


def test_the_state_brings_the_servers_clock_and_a_fresh_token(client_for, owner):
    answer = client_for(owner).get(reverse("set_state", args=[planned_shoot().pk])).json()
    assert len(answer["token"]) == 64
    assert abs(datetime.fromisoformat(answer["now"]) - timezone.now()) < timedelta(seconds=20)


def test_the_worker_reaches_only_the_page_of_its_shoot(client_for, owner):
    shoot = planned_shoot()
    answer = client_for(owner).get(reverse("set_worker", args=[shoot.pk]))
    assert answer["Content-Type"].startswith("text/javascript")
    assert "worker-src 'self'" in answer["Content-Security-Policy"]
    assert f'"page": "/shoots/{shoot.pk}/set/"' in answer.content.decode()
    assert reverse("set_worker", args=[shoot.pk]).startswith(reverse("on_set", args=[shoot.pk]))


# --- On a phone, with and without network, in a real browser ---------------------------------------------------------

PHONE = {"viewport": {"width": 390, "height": 844}, "locale": "en-GB", "timezone_id": "Europe/Berlin"}
# Presses a second apart, without waiting for it: a press within 700 ms of the last is none.
UNHURRIED = "{ let now = 0; Object.defineProperty(Event.prototype, 'timeStamp', { get() { return now += 1000; } }); }"
browser_test = pytest.mark.django_db(transaction=True)


def shoot_of(shots=12):
    shoot = shoot_with_cook()
    for place in range(shots):
        ShotFactory(shoot=shoot, title=f"Bread boat {place + 1}", order=place, tries=4)
    return shoot


def address_of(shoot, live_server):
    return live_server.url + reverse("on_set", args=[shoot.pk])


def ready(page, address):
    page.goto(address)
    expect(page.locator("html[data-offline=ready][data-set=ready]")).to_be_attached()
    return page


def kept_says(page, words):
    expect(page.locator("#kept")).to_have_text(words, timeout=20_000)  # the phone tries again after 1, 2, 4 … seconds


def press(page, name, count=1):
    for _ in range(count):
        before = page.evaluate("JSON.stringify([document.querySelector('[data-take]')?.textContent, location.search])")
        page.get_by_role("button", name=name, exact=True).click()
        for _wait in range(100):
            if (
                page.evaluate("JSON.stringify([document.querySelector('[data-take]')?.textContent, location.search])")
                != before
            ):
                break
            page.wait_for_timeout(20)


def try_now(page):
    page.evaluate("dispatchEvent(new Event('online'))")


@pytest.fixture
def phone(browser, sign_in, live_server, owner, watch):
    """A phone signed in as the owner; more than one may be asked for."""
    opened = []

    def make(*, is_watched=True):
        context = browser.new_context(**PHONE)
        opened.append(context)
        context.add_init_script(UNHURRIED)
        page = context.new_page()
        sign_in(page, owner)
        return watch(page) if is_watched else page

    yield make
    for context in opened:
        context.close()


@browser_test
def test_thirty_marks_in_a_cellar_through_a_reload_and_a_dead_browser(
    playwright, browser_type_launch_args, tmp_path, live_server, client_for, owner
):
    shoot = shoot_of()
    session = client_for(owner).cookies[settings.SESSION_COOKIE_NAME].value

    def open_browser():
        context = playwright.chromium.launch_persistent_context(str(tmp_path), **browser_type_launch_args, **PHONE)
        context.add_init_script(UNHURRIED)
        name = (
            settings.SESSION_COOKIE_NAME
        )  # a browser killed within a minute of signing in has not written it down yet
        context.add_cookies([{"name": name, "value": session, "url": live_server.url}])
        return context, context.pages[0]

    context, page = open_browser()
    ready(page, address_of(shoot, live_server))
    context.set_offline(True)
    pressed = []
    for round_ in range(3):
        for name in ("Again", "Done", "Skip", "Undo", "Again", "Done", "Done", "Undo", "Again", "Skip"):
            press(page, name)
            pressed.append(name.lower())
        kept_says(
            page,
            f"No network. Your {10 * round_ + 10} marks are kept on this phone and go up when it is back. Carry on.",
        )
        on_the_table = page.locator("h1").inner_text()
        if round_ == 0:
            page.reload()
        if round_ == 1:
            with contextlib.suppress(PlaywrightError):
                context.new_cdp_session(page).send("Browser.crash")
            with contextlib.suppress(PlaywrightError):
                context.close()
            context, page = open_browser()
            context.set_offline(True)
            page.goto(address_of(shoot, live_server))
        if round_ < 2:
            expect(page.locator("html[data-set=ready]")).to_be_attached()
            kept_says(
                page,
                f"No network. Your {10 * round_ + 10} marks are kept on this phone and go up when it is back. Carry on.",
            )
            if round_ == 0:
                expect(page.locator("h1")).to_have_text(on_the_table)
    assert Mark.objects.count() == 0
    states = page.evaluate("[...document.querySelectorAll('#prog i')].map(each => each.className)")
    context.set_offline(False)
    try_now(page)
    kept_says(page, "30 marks, all sent")
    assert [mark.kind for mark in Mark.objects.order_by("pk")] == pressed
    assert [mark.kind for mark in Mark.objects.order_by("at", "pk")] == pressed
    assert not Mark.objects.exclude(trouble="").exists()
    assert page.evaluate("[...document.querySelectorAll('#prog i')].map(each => each.className)") == states
    names = {"done": "d", "skipped": "s"}
    table = [names.get(shot.state, "") for shot in shoot.shots.order_by("order")]
    assert [state for state in states if state != "n"] == [
        state for state, shown in zip(table, states, strict=True) if shown != "n"
    ]
    context.close()


@browser_test
def test_two_phones_mark_the_same_shot_and_the_newest_mark_stands(phone, live_server):
    shoot = shoot_of(3)
    address = address_of(shoot, live_server)
    first, second = ready(phone(), address), ready(phone(), address)
    first.context.set_offline(True)
    press(first, "Done")
    press(second, "Again")
    kept_says(second, "1 mark, all sent")
    first.context.set_offline(False)
    try_now(first)
    kept_says(first, "2 marks, all sent")
    shot = shoot.shots.order_by("order").first()
    assert shot.state == "repeat"
    assert [take.outcome for take in shot.takes.all()] == ["done", "again"]
    try_now(second)
    kept_says(second, "2 marks, all sent")
    expect(second.locator("[data-take]")).to_have_text("Take 3.")
    expect(second.locator("[data-tries]")).to_have_text("2 tries left.")


FAULT = "The server could not take your mark just now. It is kept on this phone and sent again. Carry on."
LOST = "No network. Your 1 mark is kept on this phone and goes up when it is back. Carry on."


@pytest.mark.parametrize(
    ("fault", "words"),
    [
        ("500", FAULT),
        ("403", "Sign in to send 1 mark"),
        ("half", FAULT),
        ("held by nobody", FAULT),
        ("lost answer", LOST),
    ],
)
@browser_test
def test_what_the_server_answers_wrongly_loses_and_doubles_nothing(fault, words, phone, live_server):
    shoot = shoot_of(3)
    page = ready(phone(is_watched=False), address_of(shoot, live_server))

    def answer(route):
        with contextlib.suppress(PlaywrightError):  # the page may have gone on before the answer comes
            if fault.isdecimal():
                route.fulfill(status=int(fault), body="no")
                return
            said = route.fetch()  # the server holds it; the phone never hears of it, or half of it, or of nothing held
            assert said.status == 200
            if fault == "lost answer":
                route.abort()
            elif fault == "half":
                route.fulfill(status=200, content_type="application/json", body=said.text()[:60])
            else:
                route.fulfill(status=200, json={**said.json(), "held": []})

    page.route(re.compile("/set/marks/$"), answer)
    press(page, "Done")
    kept_says(page, words)
    page.reload()
    kept_says(page, words)
    page.unroute_all(behavior="ignoreErrors")
    try_now(page)
    kept_says(page, "1 mark, all sent")
    assert Mark.objects.count() == Take.objects.count() == 1


@pytest.mark.parametrize(("hours", "words"), [(2, "2 h ahead"), (-2, "2 h behind")])
@pytest.mark.parametrize("is_loaded_without_network", [False, True])
@browser_test
def test_a_phone_clock_two_hours_off_is_said_and_put_right(hours, words, is_loaded_without_network, phone, live_server):
    shoot = shoot_of(3)
    page = phone()
    page.clock.set_system_time(datetime.now(UTC) + timedelta(hours=hours))
    ready(page, address_of(shoot, live_server))
    page.get_by_text("On the plate: start a clock").click()
    page.get_by_role("button", name="Cut herbs").click()
    kept_says(page, "1 mark, all sent")
    page.wait_for_timeout(800)  # a press within 700 ms of the last is none, and a set clock brings its own stamps
    page.context.set_offline(True)
    if is_loaded_without_network:
        page.reload()
        expect(page.locator("html[data-set=ready]")).to_be_attached()
        expect(page.locator("#clock-words")).to_contain_text(words)
    expect(page.locator("#clocks output")).to_have_text(re.compile(r"^1[45]:\d\d left$"))
    pressed_at = datetime.now(UTC)
    press(page, "Done")
    page.context.set_offline(False)
    try_now(page)
    kept_says(page, "2 marks, all sent")
    expect(page.locator("#clock-words")).to_have_text(
        f"This phone’s clock is {words}. Marks get the right time; what the phone said is kept beside it."
    )
    mark = Mark.objects.get(kind="done")
    assert abs(mark.at - pressed_at) < timedelta(seconds=20)
    assert abs(mark.phone_at - pressed_at - timedelta(hours=hours)) < timedelta(seconds=20)
    assert abs(mark.clock_off - hours * 3600) < 20


@browser_test
def test_an_expired_log_in_keeps_the_marks_until_somebody_signs_in(phone, live_server, owner):
    shoot = shoot_of(6)
    page = ready(phone(), address_of(shoot, live_server))
    page.context.clear_cookies()
    press(page, "Done", 6)
    kept_says(page, "Sign in to send 6 marks")
    page.get_by_role("link", name="Sign in to send 6 marks").click()
    page.get_by_label("Name").fill(owner.username)
    page.get_by_label("Password", exact=True).fill("owner-pass-2026")
    page.get_by_role("button", name="Sign in").click()
    page.wait_for_url("**/set/**")
    kept_says(page, "6 marks, all sent")
    assert Take.objects.count() == 6


KEPT = """async () => [await caches.keys(), (await navigator.serviceWorker.getRegistrations()).length,
    await new Promise(done => { const asked = indexedDB.open("plate-ledger-set"); asked.onsuccess = () => {
        const found = asked.result.transaction("days").objectStore("days").count(); found.onsuccess = () => { asked.result.close(); done(found.result); }; }; })]"""


@browser_test
def test_signing_out_drops_what_the_phone_keeps_and_asks_first_when_marks_wait(phone, live_server, owner):
    shoot = shoot_of(3)
    page = ready(phone(), address_of(shoot, live_server))
    kept_says(page, "Works without network")
    kept, workers, days = page.evaluate(KEPT)
    assert (len(kept), workers, days) == (1, 1, 1)
    page.route(re.compile("/set/marks/$"), lambda route: route.abort())
    press(page, "Done")
    page.goto(live_server.url + "/")
    page.get_by_role("button", name="Sign out").click()
    expect(page.get_by_role("heading", name="1 mark of the set is not sent yet")).to_be_visible()
    page.get_by_role("button", name="Stay signed in").click()
    assert page.evaluate(KEPT)[2] == 1
    page.get_by_role("button", name="Sign out").click()
    page.get_by_role("button", name="Sign out all the same").click()
    page.wait_for_url("**/sign-in/")
    assert page.evaluate(KEPT) == [[], 0, 0]
    page.unroute(re.compile("/set/marks/$"))
    page.context.set_offline(True)
    with pytest.raises(PlaywrightError):
        page.goto(address_of(shoot, live_server))
    page.context.set_offline(False)
    page.goto(live_server.url + "/sign-in/")
    page.context.clear_cookies()
    client = Client()
    client.force_login(owner)
    page.context.add_cookies(
        [
            {
                "name": settings.SESSION_COOKIE_NAME,
                "value": client.cookies[settings.SESSION_COOKIE_NAME].value,
                "url": live_server.url,
            }
        ]
    )
    ready(page, address_of(shoot, live_server))
    kept_says(page, "1 mark, all sent")  # what waited was not lost
    assert Take.objects.count() == 1
    page.goto(live_server.url + "/")
    page.get_by_role("button", name="Sign out").click()
    page.wait_for_url("**/sign-in/")
    assert page.evaluate(KEPT) == [[], 0, 0]


@browser_test
def test_notes_oks_clocks_and_unplanned_shots_need_no_network(phone, live_server):
    shoot = shoot_of(2)
    page = ready(phone(), address_of(shoot, live_server))
    page.context.set_offline(True)
    page.get_by_text("Note or unplanned shot").click()
    page.get_by_role("button", name="Dropped").click()
    page.get_by_text("On the plate: start a clock").click()
    page.get_by_role("button", name="Milk or egg foam").click()
    expect(page.locator("#clocks")).to_contain_text("2:5")
    page.get_by_text("OK’d by the client").click()
    page.get_by_role("button", name="OK’d by Maro Lantadze").click()
    expect(page.locator("[data-stand]")).to_contain_text("OK’d by Maro Lantadze, ")
    page.get_by_text("Note or unplanned shot").click()
    page.get_by_role("button", name="Unplanned shot").click()
    expect(page.locator("h1")).to_have_text("Unplanned shot 1")
    press(page, "Done")
    page.reload()
    expect(page.locator("#clocks")).to_contain_text("Milk or egg foam")
    page.get_by_role("button", name=re.compile("Gone")).click()
    expect(page.locator("#clocks li")).to_have_count(0)
    page.context.set_offline(False)
    try_now(page)
    kept_says(page, "6 marks, all sent")
    first, _, added = shoot.shots.order_by("order")
    assert (first.okd_by, first.state) == ("Maro Lantadze", "planned")
    assert (added.title, added.state, added.is_must) == ("Unplanned shot 1", "done", False)
    kinds = ["note", "plated", "ok", "unplanned", "done", "cleared"]
    assert [mark.kind for mark in Mark.objects.order_by("at", "pk")] == kinds
    assert not Mark.objects.exclude(trouble="").exists()


@browser_test
def test_the_end_of_the_day_is_ticked_without_network(phone, live_server):
    shoot = shoot_of(2)
    page = ready(phone(), address_of(shoot, live_server))
    page.context.set_offline(True)
    page.goto(live_server.url + reverse("end_of_day", args=[shoot.pk]))
    page.locator("#cards").get_by_label("Name").fill("Jorun Fennick")
    page.locator("#cards").get_by_role("button", name="Tick").click()
    expect(page.locator("#cards")).to_contain_text("Ticked by Jorun Fennick. Kept on this phone.")
    page.reload()
    expect(page.locator("#cards")).to_contain_text("Ticked by Jorun Fennick. Kept on this phone.")
    page.get_by_role("link", name="Back to the set").click()
    page.context.set_offline(False)
    try_now(page)
    kept_says(page, "1 mark, all sent")
    page.goto(live_server.url + reverse("end_of_day", args=[shoot.pk]))
    expect(page.locator("#cards .ticked")).to_contain_text("Jorun Fennick, ")


@browser_test
def test_the_screen_is_kept_on_until_the_switch_says_otherwise(phone, live_server):
    page = ready(phone(), address_of(shoot_of(1), live_server))
    page.get_by_text("This phone, and the end of the day").click()
    switch = page.get_by_role("button", name="Keep the screen on")
    expect(switch).to_have_attribute("aria-pressed", "true")
    switch.click()
    expect(switch).to_have_attribute("aria-pressed", "false")
    page.reload()
    page.get_by_text("This phone, and the end of the day").click()
    expect(switch).to_have_attribute("aria-pressed", "false")
    page.get_by_role("button", name="Dim light").click()
    expect(page.locator("html[data-light=dim]")).to_be_attached()


@browser_test
def test_a_second_press_within_700_ms_is_none(sign_in, watched, live_server, owner):
    page = ready(sign_in(watched, owner), address_of(shoot_of(3), live_server))
    page.get_by_role("button", name="Done", exact=True).dblclick()
    kept_says(page, "1 mark, all sent")
    assert Take.objects.count() == 1


@browser_test
def test_without_javascript_a_shot_is_done_and_undone(browser, sign_in, live_server, owner):
    with contextlib.closing(browser.new_context(**PHONE, java_script_enabled=False)) as context:
        page = sign_in(context.new_page(), owner)
        page.goto(address_of(shoot_of(3), live_server))
        page.get_by_role("button", name="Done", exact=True).click()
        expect(page.locator("h1")).to_have_text("Bread boat 2")
        expect(page.locator("#kept")).to_have_text("1 mark saved")
        page.get_by_role("button", name="Undo").click()
        expect(page.locator("h1")).to_have_text("Bread boat 1")


@browser_test
def test_a_server_that_breaks_leaves_the_page_as_it_was_opened_before(phone, live_server, monkeypatch):
    shoot = shoot_of(3)
    page = ready(phone(is_watched=False), address_of(shoot, live_server))
    asked = []

    def broken(*_args, **_kwargs):
        asked.append(1)
        raise RuntimeError("planted")

    monkeypatch.setattr(queries, "set_screen", broken)
    page.reload()
    expect(page.locator("h1")).to_have_text("Bread boat 1")
    assert asked
    press(page, "Done")
    kept_says(page, "1 mark, all sent")


NO_STORE = "indexedDB.open = () => { throw new Error('private window'); };"
FULL = "IDBObjectStore.prototype.add = () => { throw new Error('full'); };"


@pytest.mark.parametrize("fault", [NO_STORE, FULL])
@browser_test
def test_a_phone_that_keeps_nothing_marks_the_shot_on_the_screen_by_plain_forms(fault, phone, live_server):
    shoot = shoot_of(4)
    page = phone()
    page.add_init_script(fault)
    page.goto(address_of(shoot, live_server))
    expect(page.locator("html[data-set]")).to_be_attached()
    page.get_by_text("All shots").click()
    page.get_by_role("link", name="Bread boat 3").click()
    expect(page.locator("h1")).to_have_text("Bread boat 3")
    page.get_by_role("button", name="Done", exact=True).click()
    expect(page.locator("h1")).to_have_text("Bread boat 4")
    assert [str(take.shot) for take in Take.objects.all()] == ["Bread boat 3"]
    assert Mark.objects.count() == 1


# --- What else may go wrong in a day ---------------------------------------------------------------------------------


@browser_test
def test_every_shot_reads_the_same_from_the_server_and_on_the_phone(phone, live_server):
    shoot = planned_shoot()
    address = address_of(shoot, live_server)
    page = ready(phone(), address)
    shots = list(shoot.shots.values_list("pk", flat=True))
    by_phone = [
        (page.evaluate(f"document.querySelector('#all-shots a[data-go=\"{key}\"]').click()"), said(page))[1]
        for key in shots
    ]
    page.add_init_script("delete window.indexedDB; Object.defineProperty(window, 'indexedDB', { get() { throw 1; } });")
    by_server = [(page.goto(f"{address}?shot={key}"), said(page))[1] for key in shots]
    assert by_phone == by_server
    assert any("Deckel ab." in words for words in by_phone)


def said(page):
    return page.locator("#shot").inner_text()


@browser_test
def test_what_was_marked_with_network_is_undone_without_it(phone, live_server):
    shoot = shoot_of(2)
    page = ready(phone(), address_of(shoot, live_server))
    page.get_by_text("OK’d by the client").click()
    page.get_by_role("button", name="OK’d by Maro Lantadze").click()
    kept_says(page, "1 mark, all sent")
    page.get_by_text("OK’d by the client").click()
    page.get_by_role("button", name="Take the OK back").click()
    kept_says(page, "2 marks, all sent")
    press(page, "Again")
    press(page, "Done")
    kept_says(page, "4 marks, all sent")
    page.context.set_offline(True)
    page.reload()
    expect(page.locator("html[data-set=ready]")).to_be_attached()
    press(page, "Undo")
    expect(page.locator("h1")).to_have_text("Bread boat 1")
    expect(page.locator("[data-stand]")).to_contain_text("Repeat")
    expect(page.locator("[data-take]")).to_have_text("Take 2.")
    page.context.set_offline(False)
    try_now(page)
    kept_says(page, "5 marks, all sent")
    assert shoot.shots.order_by("order").first().state == "repeat"
    assert not Mark.objects.exclude(trouble="").exists()


@browser_test
def test_slips_of_the_finger_are_undone_an_ok_an_unplanned_shot_a_clock(phone, live_server):
    shoot = shoot_of(2)
    page = ready(phone(), address_of(shoot, live_server))
    for name in ("Maro Lantadze", "take back"):
        page.get_by_text("OK’d by the client").click()
        page.get_by_role("button", name="Take the OK back" if name == "take back" else f"OK’d by {name}").click()
    page.get_by_text("On the plate: start a clock").click()
    page.get_by_role("button", name="Milk or egg foam").click()
    kept_says(page, "3 marks, all sent")
    page.context.set_offline(True)
    page.get_by_role("button", name=re.compile("Gone")).click()
    expect(page.locator("#clocks li")).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#clocks")).to_contain_text("Milk or egg foam")
    page.get_by_text("Note or unplanned shot").click()
    page.get_by_role("button", name="Unplanned shot").click()
    expect(page.locator("h1")).to_have_text("Unplanned shot 1")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("h1")).to_have_text("Bread boat 1")
    page.get_by_text("OK’d by the client").click()
    page.get_by_role("button", name="OK’d by Maro Lantadze").click()
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("[data-stand]")).not_to_contain_text("OK’d")
    page.context.set_offline(False)
    try_now(page)
    kept_says(page, "9 marks, all sent")
    expect(page.locator("#clocks")).to_contain_text("Milk or egg foam")
    states = list(shoot.shots.order_by("order").values_list("title", "state", "okd_by"))
    assert ("Unplanned shot 1", "skipped", "") in states
    assert ("Bread boat 1", "planned", "") in states


WAKE = """
    window.asked = 0; window.locks = []; window.isHidden = false;
    Object.defineProperty(document, 'visibilityState', { get: () => window.isHidden ? 'hidden' : 'visible' });
    Object.defineProperty(navigator, 'wakeLock', { value: { request: async () => {
        window.asked += 1;
        if (window.refuses) throw new Error('low battery');
        const lock = new EventTarget(); lock.released = false;
        lock.release = async () => { lock.released = true; lock.dispatchEvent(new Event('release')); };
        window.locks.push(lock); return lock; } } });
"""


@browser_test
def test_the_screen_is_kept_on_again_after_every_look_away_and_after_a_refusal(phone, live_server):
    shoot = shoot_of(2)
    page = phone()
    page.add_init_script(WAKE)
    ready(page, address_of(shoot, live_server))
    assert page.evaluate("asked") == 1
    page.evaluate("isHidden = true; document.dispatchEvent(new Event('visibilitychange')); locks.at(-1).release()")
    assert page.evaluate("asked") == 1
    page.evaluate("refuses = true; isHidden = false; document.dispatchEvent(new Event('visibilitychange'))")
    assert page.evaluate("asked") == 2
    page.evaluate("refuses = false")
    press(page, "Again")
    assert page.evaluate("[asked, locks.at(-1).released]") == [3, False]
    press(page, "Done")
    assert page.evaluate("asked") == 3  # held: not asked for again


@browser_test
def test_a_new_version_of_the_app_keeps_the_marks_of_the_old_one(phone, live_server, monkeypatch):
    shoot = shoot_of(3)
    page = ready(phone(), address_of(shoot, live_server))
    page.context.set_offline(True)
    press(page, "Done")
    program, _digest, files = queries.worker_parts()
    monkeypatch.setattr(queries, "worker_parts", lambda: (program, "newer", files))
    page.context.set_offline(False)
    page.route(re.compile("/set/marks/$"), lambda route: route.abort())
    page.reload()
    page.wait_for_function(f"async () => (await caches.keys()).join() === 'set-{shoot.pk}-newer'")
    page.context.set_offline(True)
    page.reload()
    kept_says(page, LOST)
    expect(page.locator("h1")).to_have_text("Bread boat 2")
    press(page, "Skip")
    page.unroute_all(behavior="ignoreErrors")
    page.context.set_offline(False)
    try_now(page)
    kept_says(page, "2 marks, all sent")
    assert [mark.kind for mark in Mark.objects.order_by("pk")] == ["done", "skip"]


@browser_test
def test_a_new_version_that_comes_in_half_leaves_the_old_one_at_work(phone, live_server, monkeypatch):
    shoot = shoot_of(3)
    page = ready(phone(is_watched=False), address_of(shoot, live_server))
    press(page, "Done")
    kept_says(page, "1 mark, all sent")
    program, _digest, files = queries.worker_parts()
    monkeypatch.setattr(queries, "worker_parts", lambda: (program, "newer", (*files, "/static/studio/cut-off.js")))
    is_refused = page.evaluate(
        "navigator.serviceWorker.getRegistration().then(one => one.update()).then(one => new Promise(done => {"
        "const next = one.installing; if (!next) return done(true);"
        "next.addEventListener('statechange', () => done(next.state === 'redundant')); }), () => true)"
    )
    assert is_refused
    page.context.set_offline(True)
    page.reload()
    expect(page.locator("html[data-set=ready]")).to_be_attached()
    press(page, "Done")
    page.context.set_offline(False)
    try_now(page)
    kept_says(page, "2 marks, all sent")


@browser_test
def test_a_phone_that_keeps_nothing_says_so_and_how_to_mend_it(phone, live_server):
    page = phone()
    page.add_init_script(NO_STORE)
    page.goto(address_of(shoot_of(2), live_server))
    expect(page.locator("#kept")).to_contain_text("This phone keeps nothing: a private window, or its storage is shut.")
    page.get_by_text("This phone, and the end of the day").click()
    expect(page.locator("#without")).to_contain_text("Open the set in an ordinary window")


@browser_test
def test_a_full_phone_without_network_says_that_the_press_was_not_kept(phone, live_server):
    page = ready(phone(), address_of(shoot_of(2), live_server))
    page.evaluate(f"() => {{ {FULL} }}")
    page.context.set_offline(True)
    page.get_by_role("button", name="Done", exact=True).click()
    expect(page.locator("#kept")).to_contain_text("the last press was not kept")
    expect(page.locator("h1")).to_have_text("Bread boat 1")


@browser_test
def test_a_tick_is_sent_from_the_page_of_the_end_of_the_day_itself(phone, live_server):
    shoot = shoot_of(1)
    page = ready(phone(), address_of(shoot, live_server))
    page.context.set_offline(True)
    page.goto(live_server.url + reverse("end_of_day", args=[shoot.pk]))
    page.locator("#cards").get_by_label("Name").fill("Jorun Fennick")
    page.locator("#cards").get_by_role("button", name="Tick").click()
    kept_says(page, LOST)
    page.context.set_offline(False)
    try_now(page)
    expect(page.locator("#cards .ticked")).to_contain_text("Jorun Fennick, ")
    kept_says(page, "All sent")
    page.locator("#cards").get_by_role("button", name="Undo").click()
    expect(page.locator("#cards .tick-by")).to_be_attached()
    assert [mark.kind for mark in Mark.objects.order_by("pk")] == ["tick", "undo"]


@browser_test
def test_beside_each_tick_stands_what_the_books_know(phone, live_server):
    shoot = shoot_of(2)
    shoot.shots.update(state="done")
    page = ready(phone(), f"{address_of(shoot, live_server)}?shot={shoot.shots.first().pk}")
    page.get_by_text("OK’d by the client").click()
    page.get_by_role("button", name="OK’d by Maro Lantadze").click()
    kept_says(page, "1 mark, all sent")
    end = live_server.url + reverse("end_of_day", args=[shoot.pk])
    page.goto(end)
    expect(page.locator("#oks .books-say")).to_have_text(re.compile("1 of 2 must-have shots done has an OK. Without: "))
    expect(page.locator("#releases .books-say")).to_contain_text("Maro Lantadze: not asked.")
    expect(page.locator("#receipts .books-say")).to_contain_text("No cost of this shoot is in the books.")
    expect(page.locator("#cards .books-say")).to_contain_text("They cannot know of copies of the cards")
    page.context.set_offline(True)
    page.goto(end)
    expect(page.locator("#releases .books-say")).to_have_text("What the books know needs network.")


@browser_test
def test_a_phone_that_was_locked_sends_what_waits_when_it_is_looked_at_again(phone, live_server):
    page = ready(phone(), address_of(shoot_of(3), live_server))
    page.clock.install()
    page.route(re.compile("/set/(marks|state)/$"), lambda route: route.abort())
    press(page, "Done")
    kept_says(page, LOST)
    page.unroute_all(behavior="ignoreErrors")
    page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")
    kept_says(page, "1 mark, all sent")


@browser_test
def test_without_network_no_link_leads_off_the_set(phone, live_server):
    page = ready(phone(), address_of(shoot_of(3), live_server))
    page.context.set_offline(True)
    page.get_by_text("This phone, and the end of the day").click()
    page.get_by_role("link", name="Log of times").click()
    kept_says(page, "“Log of times” needs network. The set goes on without.")
    page.get_by_role("link", name="Shot 1 of 3").click()
    page.get_by_role("link", name="Bread boat 3").click()
    expect(page.locator("h1")).to_have_text("Bread boat 3")


@browser_test
def test_two_phones_without_network_both_hold_what_they_marked_and_the_second_brings_it_in_between(phone, live_server):
    shoot = shoot_of(3)
    address = address_of(shoot, live_server)
    first, second = ready(phone(), address), ready(phone(), address)
    for each in (first, second):
        each.context.set_offline(True)
    press(first, "Again")
    press(second, "Done")
    press(first, "Done")
    for each, words in ((second, "1 mark, all sent"), (first, "3 marks, all sent")):
        each.context.set_offline(False)
        try_now(each)
        kept_says(each, words)
    first_shot = shoot.shots.order_by("order").first()
    assert [take.outcome for take in first_shot.takes.order_by("at", "pk")] == ["again", "done", "done"]
    assert first_shot.state == "done"
