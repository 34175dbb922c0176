"""Journey B, a release for the cook to sign: from empty books, read and signed by finger on her phone; the paper is read back."""

import hashlib
from datetime import timedelta
from typing import Any

import pytest
from django.utils import timezone

from shared.evidence.queries import evidence_about, first_broken_link
from shared.outbox.models import Message
from shoots.releases.models import Release
from tests.journeys import steps

pytestmark = pytest.mark.django_db(transaction=True)


def draw(page: Any) -> None:
    """A signature by finger: three strokes of the mouse on the field."""
    page.locator(".sign").scroll_into_view_if_needed()
    box = page.locator(".sign").bounding_box()
    for n in range(3):
        x, y = box["x"] + 40 + 60 * n, box["y"] + 60
        page.mouse.move(x, y)
        page.mouse.down()
        page.mouse.move(x + 25, y + 50, steps=4)
        page.mouse.move(x + 45, y - 10, steps=4)
        page.mouse.up()


def test_the_cook_signs_on_her_phone_and_both_sides_get_the_paper(
    live_server: Any, watched: Any, browser: Any, watch: Any, tally: Any, worked: Any, read_pdf: Any, settings: Any
) -> None:
    settings.SITE_ADDRESS = live_server.url
    studio = tally(watched)
    steps.begin_books(studio, live_server.url)
    steps.add_client(studio, live_server.url, "Walnut Lantern", contact="Maro Lantadze", email=steps.COOKS_MAIL)
    steps.open_winter_menu(studio, day=timezone.now().date() + timedelta(days=40), pictures=("Bread boat",))
    steps.name_the_cook(studio)

    # Own promotion of the house stands first and is chosen; the cook reads German first
    studio.follow("New release")
    studio.choose("The signer’s language", "German")
    studio.choose("Second language", "English")
    studio.press("Make the release")
    release = Release.objects.get()
    assert (release.state, release.own_promotion_of) == ("offered", release.shoot.licensee)

    phone = steps.phone(browser, language="de-DE")
    cook = tally(watch(phone.new_page()))
    cook.open(steps.link_to(steps.COOKS_MAIL, "sign"))
    cook.page.get_by_text("Erlaubnis, Ihr Bild zu nutzen").first.wait_for()
    draw(cook.page)
    cook.tick("Ich bin volljährig")
    cook.tick("Ich habe den Text gelesen")
    cook.page.locator("button[name=agree]").click()
    cook.presses += 1
    cook.page.get_by_text("Unterschrieben am").wait_for()

    release.refresh_from_db()
    assert (release.state, release.capacity) == ("signed", "self")
    assert release.signature_path.startswith("M")
    with cook.page.expect_download() as got:
        cook.page.evaluate("document.querySelector('.note a.btn').setAttribute('download', '')")
        cook.follow("Kopie öffnen")
    paper = got.value.path().read_bytes()
    assert hashlib.sha256(paper).hexdigest() == release.paper.sha256
    said = read_pdf(paper)
    assert "own promotion of Walnut Lantern (website and social media)" in said
    assert "Maro Lantadze" in said
    assert release.number in said

    worked(timezone.now())
    copies = Message.objects.filter(about=f"release:{release.pk}", attachments=release.paper)
    assert {copy.to for copy in copies} == {steps.COOKS_MAIL, steps.OWNER[0]}
    kinds = [row.kind for row in evidence_about(f"release:{release.pk}")]
    assert kinds[0] == "offered"
    assert kinds[-4:] == ["consent", "signed", "sealed", "copy_sent"]
    assert first_broken_link() is None
    phone.close()

    studio.open(f"{live_server.url}/releases/{release.pk}/")
    studio.follow("Record a withdrawal")
    studio.write("Reason", "No longer works there")
    studio.press("Record the withdrawal")
    assert "The pictures show it and new licences wait." in studio.page.content()
