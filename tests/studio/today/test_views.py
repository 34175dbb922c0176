import pytest
from django.urls import reverse

from tests.factories.shared import BusinessProfileFactory

pytestmark = pytest.mark.django_db


def test_a_new_owner_is_told_what_to_do_first(client_for, owner):
    said = client_for(owner).get(reverse("today")).content.decode()
    assert "Your business is not described yet" in said
    assert "No shoot is coming up" in said


def test_the_assistant_reads_no_sum(client_for, assistant):
    BusinessProfileFactory()
    said = client_for(assistant).get(reverse("today")).content.decode()
    assert "Money owed" not in said
    assert "€" not in said


def test_a_stranger_is_sent_to_sign_in(client_for):
    assert client_for(None).get(reverse("today")).url.startswith(reverse("sign_in"))
