from datetime import date
from typing import Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.forms.models import model_to_dict
from django.test import Client
from django.urls import reverse

from shared.access.models import User
from shared.access.queries import welcome_token
from shared.business.models import BusinessProfile
from tests.factories.shared import BusinessProfileFactory
from tests.shared.files.test_pictures import picture

pytestmark = pytest.mark.django_db


def words(answer: Any) -> str:
    return " ".join(answer.content.decode().replace("&nbsp;", " ").split())


def filled(profile: BusinessProfile, **typed: Any) -> dict[str, Any]:
    values = {name: value for name, value in model_to_dict(profile).items() if value is not None}
    return {**values, "version": profile.version, **typed}


def test_the_welcome_page_opens_once_and_only_by_its_own_address() -> None:
    path, stranger = reverse("welcome", args=[welcome_token()]), Client()
    assert Client().get(reverse("welcome", args=["guessed"])).status_code == 404
    assert stranger.get(path).status_code == 200
    typed = {
        "legal_name": "Tindra Aldermoor",
        "email": "tindra@aldermoor.example",
        "country": "DE",
        "currency": "EUR",
        "time_zone": "Europe/Berlin",
    }
    refused = stranger.post(path, {**typed, "password": "password12"})
    assert refused.status_code == 422
    assert "tindra@aldermoor.example" in words(refused)
    assert not User.objects.exists()
    begun = stranger.post(path, {**typed, "password": "walnut oil and smoke"})
    assert begun["Location"] == reverse("business_profile")
    assert "missing for a legal invoice" in words(stranger.get(reverse("business_profile")))
    again = Client().get(path)
    assert again.status_code == 410
    assert "have an owner already" in words(again)


def test_the_profile_is_saved_and_what_is_missing_is_said(client_for: Any, owner: Any) -> None:
    profile, client = BusinessProfileFactory(iban=""), client_for(owner)
    assert "Your IBAN is missing" in words(client.get(reverse("business_profile")))
    answer = client.post(reverse("business_profile"), filled(profile, iban="DE02 1203 0000 0000 2020 51"))
    assert answer.status_code == 302
    assert "Nothing is missing for a legal invoice" in words(client.get(answer["Location"]))


def test_a_mistake_keeps_what_was_typed(client_for: Any, owner: Any) -> None:
    answer = client_for(owner).post(
        reverse("business_profile"), filled(BusinessProfileFactory(), street="Ropewalk 2", iban="DE00")
    )
    assert answer.status_code == 422
    assert "Ropewalk 2" in words(answer)
    assert "DE00" in words(answer)
    assert BusinessProfile.objects.get().street == "Glover Yard 9"


def test_another_first_day_starts_an_entry_that_is_listed_as_coming(client_for: Any, owner: Any) -> None:
    client = client_for(owner)
    answer = client.post(
        reverse("business_profile"), filled(BusinessProfileFactory(), valid_from="1 Jan 2090", street="Ropewalk 2")
    )
    assert answer.status_code == 302
    assert BusinessProfile.objects.last().valid_from == date(2090, 1, 1)
    page = words(client.get(reverse("business_profile")))
    assert "Glover Yard 9" in page
    assert "Coming" in page
    assert "Ropewalk 2" in words(client.get(answer["Location"]))


def test_of_two_people_who_edit_the_profile_the_second_keeps_what_was_typed(client_for: Any, owner: Any) -> None:
    profile, client = BusinessProfileFactory(), client_for(owner)
    client.post(reverse("business_profile"), filled(profile, street="Ropewalk 2"))
    answer = client.post(reverse("business_profile"), filled(profile, street="Kiln Lane 8"))
    assert answer.status_code == 422
    assert "Someone changed this" in words(answer)
    assert "Kiln Lane 8" in words(answer)
    assert 'name="version" value="2"' in words(answer)


def test_the_logo_can_be_looked_at_by_the_owner_only(client_for: Any, owner: Any, assistant: Any) -> None:
    profile, client = BusinessProfileFactory(), client_for(owner)
    client.post(
        reverse("business_profile"), {**filled(profile), "logo_file": SimpleUploadedFile("logo.png", picture("PNG"))}
    )
    path = reverse("business_picture", args=[profile.pk, "logo"])
    answer = client.get(path)
    assert answer.status_code == 200
    assert answer["Content-Type"] == "image/png"
    assert client.get(reverse("business_picture", args=[profile.pk, "signature"])).status_code == 404
    assert client_for(assistant).get(path).status_code == 403


def test_settings_say_how_things_stand_and_show_others_only_their_own(
    client_for: Any, owner: Any, assistant: Any, accountant: Any
) -> None:
    assert "Not filled in" in words(client_for(owner).get(reverse("preferences")))
    BusinessProfileFactory()
    assert "Nothing here needs you" in words(client_for(owner).get(reverse("preferences")))
    for person in (assistant, accountant):
        page = words(client_for(person).get(reverse("preferences")))
        assert "Your password" in page
        assert "Business profile" not in page
        for name in ("business_profile", "people_list", "message_list", "keep_safe"):
            assert client_for(person).get(reverse(name)).status_code == 403
