"""Journey B: from the shoot to a release signed by the cook's finger, and the paper in both hands."""

import hashlib
from typing import Any

import pytest
from django.utils import timezone

from shared.evidence.queries import evidence_about, first_broken_link
from shared.links.models import PrivateLink
from shared.links.queries import link_path
from shared.outbox.models import Message
from shoots.releases.models import Release
from tests.factories.releases import shoot_with_cook

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
    signed_in_page: Any, live_server: Any, browser: Any, watch: Any, tally: Any, worked: Any, read_pdf: Any
) -> None:
    shoot = shoot_with_cook()
    studio = tally(signed_in_page)
    studio.open(f"{live_server.url}/shoots/{shoot.pk}/")
    studio.follow("New release")
    studio.press("Make the release")
    release = Release.objects.get()
    assert (release.state, release.own_promotion_of) == ("offered", shoot.licensee)

    mail = Message.objects.get(about=f"release:{release.pk}")
    assert mail.to == "maro@walnut-lantern.example"
    link = link_path(PrivateLink.objects.get(subject=f"release:{release.pk}"))
    phone = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, locale="de-DE")
    cook = tally(watch(phone.new_page()))
    cook.open(live_server.url + link)
    assert "Erlaubnis, Ihr Bild zu nutzen" in cook.page.content()
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
    assert {copy.to for copy in copies} == {"maro@walnut-lantern.example", "tindra@aldermoor.example"}
    steps = [row.kind for row in evidence_about(f"release:{release.pk}")]
    assert steps[0] == "offered"
    assert steps[-4:] == ["consent", "signed", "sealed", "copy_sent"]
    assert first_broken_link() is None
    phone.close()

    studio.open(f"{live_server.url}/releases/{release.pk}/")
    studio.follow("Record a withdrawal")
    studio.write("Reason", "No longer works there")
    studio.press("Record the withdrawal")
    assert "The pictures show it and new licences wait." in studio.page.content()
