import html
import re

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from billing.rates.models import RateCard
from tests.billing.cards.pages import TRY
from tests.factories.billing import RateCardFactory
from tests.factories.shared import BusinessProfileFactory
from tests.reading import text as words

pytestmark = pytest.mark.django_db
ALL = ("rate_history", "export_rates", "import_rates", "try_fee")


def hidden(answer, name: str) -> str:
    tag = re.search(rf'<input type="hidden" name="{name}"[^>]*>', answer.content.decode())[0]
    return html.unescape(re.search(r'value="([^"]*)"', tag)[1])


@pytest.fixture
def studio(client_for, owner):
    BusinessProfileFactory()
    return client_for(owner)


def send(studio, content: bytes):
    return studio.post(reverse("import_rates"), {"file": SimpleUploadedFile("rates.json", content)})


def test_only_the_owner_opens_them(client_for, assistant, accountant):
    for person in (assistant, accountant):
        assert {client_for(person).get(reverse(name)).status_code for name in ALL} == {403}


def test_rates_are_saved_as_a_file_looked_at_and_taken(studio):
    card = RateCardFactory()
    answer = studio.get(reverse("export_rates"))
    assert answer["Content-Disposition"] == 'attachment; filename="rates-2026-01-01.json"'
    content = answer.content.replace(b'"day_rate": "780.00"', b'"day_rate": "900.00"')
    shown = send(studio, content)
    assert shown.status_code == 200
    assert "Day on set Rates and terms €780.00 a day €900.00 a day" in words(shown)
    assert "This file was changed after it was written." in words(shown)
    assert RateCard.objects.get().day_rate == 780
    typed = {"text": hidden(shown, "text"), "seen": hidden(shown, "seen"), "valid_from": "1 Jul 2026"}
    again = studio.post(reverse("import_rates"), typed | {"look": "1"})
    assert "makes a new rate card from 1 Jul 2026" in words(again)
    taken = studio.post(reverse("import_rates"), typed | {"seen": hidden(again, "seen")}, follow=True)
    assert "Rates from 1 Jul 2026 are taken from the file." in words(taken)
    assert RateCard.objects.get(valid_from="2026-07-01").day_rate == 900
    assert RateCard.objects.get(pk=card.pk).day_rate == 780


def test_the_same_file_again_is_said(studio):
    RateCardFactory()
    content = studio.get(reverse("export_rates")).content
    shown = send(studio, content)
    assert "There is nothing to take." in words(shown)
    assert "Take all of it" not in words(shown)
    typed = {"text": content.decode(), "seen": hidden(shown, "seen"), "valid_from": "1 Jan 2026"}
    pressed = studio.post(reverse("import_rates"), typed)
    assert pressed.status_code == 422
    assert "count since 1 Jan 2026 already" in words(pressed)


def test_a_press_after_somebody_else_saved_shows_what_would_change_now(studio):
    card = RateCardFactory()
    content = studio.get(reverse("export_rates")).content.replace(b'"780.00"', b'"900.00"')
    shown = send(studio, content)
    RateCard.objects.filter(pk=card.pk).update(day_rate=850, version=2)
    typed = {"text": hidden(shown, "text"), "seen": hidden(shown, "seen"), "valid_from": "1 Jan 2026"}
    pressed = studio.post(reverse("import_rates"), typed)
    assert pressed.status_code == 422
    assert "Someone changed the rates after you looked." in words(pressed)
    assert "€850.00 a day €900.00 a day" in words(pressed)
    assert hidden(pressed, "seen") == f"{card.pk}.2"
    studio.post(reverse("import_rates"), typed | {"seen": hidden(pressed, "seen")})
    assert RateCard.objects.get().day_rate == 900


def test_a_broken_file_is_told_by_line_and_changes_nothing(studio):
    content = studio.get(reverse("export_rates")).content
    answer = send(studio, content.replace(b'"base": "180"', b'"base": 180'))
    assert answer.status_code == 422
    assert re.search(r"Usage fees: Base fee , now 180 : Write figures as text, .* Line \d+, card.base", words(answer))
    assert (
        send(studio, b"\xff").status_code
        == send(studio, b" " * 1_000_002).status_code
        == send(studio, b"").status_code
        == 422
    )
    assert studio.post(reverse("import_rates"), {}).status_code == 422
    assert studio.post(reverse("import_rates"), {"text": "", "valid_from": ""}).status_code == 422
    assert studio.post(reverse("import_rates"), {"text": "{}", "valid_from": "1 Jul 2026"}).status_code == 422
    assert not RateCard.objects.exists()


def test_a_day_that_is_none_keeps_the_file(studio):
    content = studio.get(reverse("export_rates")).content
    answer = studio.post(reverse("import_rates"), {"text": content.decode(), "seen": "0.0", "valid_from": "someday"})
    assert answer.status_code == 422
    assert 'value="someday"' in answer.content.decode()
    assert hidden(answer, "text").replace("\r\n", "\n") == content.decode()


def test_a_file_nobody_has_is_not_found(studio):
    assert studio.get(reverse("export_rates") + "?card=99").status_code == 404


def test_the_history_says_what_is_in_use_and_what_changed(studio):
    assert "No rates of your own yet." in words(studio.get(reverse("rate_history")))
    RateCardFactory()
    RateCardFactory(valid_from="2027-01-01", day_rate=900)
    page = words(studio.get(reverse("rate_history")))
    assert "From 1 Jan 2027 To come" in page
    assert "1 Jan 2026 to 31 Dec 2026 In use" in page
    assert "No estimate took these rates." in page
    assert "1 change against the rates before" in page
    assert "Day rates and usage fees are starting values: common practice, no source." in page


def test_a_fee_is_tried_with_its_working(studio):
    assert "Say what a picture is wanted for." in words(studio.get(reverse("try_fee")))
    page = words(studio.get(reverse("try_fee") + TRY))
    # Worked by hand: 180 × 1.2 × 0.5 × 1.6 (Germany 1, Austria 0.6) × 1 × 5.85 = 1,010.88, rounded up to 1,015.
    assert "€1,010.88" in page
    assert "Rounded up to €1,015.00" in page
    changed = words(studio.get(reverse("try_fee") + TRY.replace("case=new", "case=change") + "&agreed_fee=500"))
    assert "€555.00" in changed
    endless = studio.get(
        reverse("try_fee") + TRY.replace("case=new", "case=renewal").replace("use_months=12", "use_months=endless")
    )
    assert endless.status_code == 422
    assert "A use without end is not renewed." in words(endless)
    assert not RateCard.objects.exists()


def test_the_pages_are_reached_from_the_rates(studio):
    assert reverse("rate_history") in studio.get(reverse("rates")).content.decode()
    RateCardFactory()
    assert reverse("rate_history") in studio.get(reverse("rates")).content.decode()
    assert reverse("try_fee") in studio.get(reverse("usage_fees")).content.decode()


def test_several_uses_are_priced_together_cut_into_lines_and_taken_out_again(studio):
    # licensing.md 8: 6 pictures, own web + social 1,137.24 and a menu in 900 copies 303.264 in lines of their own, together 1,445
    web = "case=new&pictures=6&use_from=2027-03-01&use_kind=own_promotion&use_media=web.own&use_media=web.social&use_places=DE&use_months=12&exclusivity=none&late_factor=1"
    added = studio.get(f"{reverse('try_fee')}?{web}&do=add")
    assert "uses=2" in added.url
    page = studio.get(added.url.partition("#")[0])
    assert (page.status_code, page.context["tried"]) == (200, None)
    assert "Take out use 2" in words(page)
    menu = "&uses=2&u2-use_kind=own_promotion&u2-use_media=print.menu&u2-use_places=DE&u2-use_months=12&u2-exclusivity=none&u2-use_copies=900"
    page = studio.get(f"{reverse('try_fee')}?{web}{menu}")
    said = words(page)
    assert page.context["tried"].to_pay == 1445
    assert "Cheapest so: Use 1 alone, use 2 alone." in said
    assert "Together €1,137.24" in said
    assert "All lines €1,440.50" in said
    third = menu.replace("uses=2", "uses=3") + menu.partition("&uses=2")[2].replace("u2-", "u3-").replace(
        "print.menu", "web.email"
    ).replace("&u3-use_copies=900", "")
    gone = studio.get(f"{reverse('try_fee')}?{web}{third}&do=remove:2")
    assert "u2-use_media=web.email" in gone.url
    assert "u3-" not in gone.url
    assert "print.menu" not in gone.url
    assert "Uses 1 and 2 together" in words(studio.get(gone.url.partition("#")[0]))


def test_a_use_that_is_wrong_is_told_under_its_own_fields(studio):
    query = f"{TRY}&uses=2&u2-use_kind=advertising&u2-use_media=web.own&u2-use_months=12&u2-exclusivity=none"
    page = studio.get(reverse("try_fee") + query)
    assert page.status_code == 422
    assert page.context["further"][0].errors
    assert not page.context["form"].errors
