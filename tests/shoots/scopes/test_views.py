import pytest
from django.urls import reverse

from shoots.uses.forms import _fields
from shoots.uses.models import TreeVersion
from shoots.uses.queries import newest_trees, trees_of_the_books
from shoots.uses.sentences import territory_name

pytestmark = pytest.mark.django_db


def post(client, page, **typed):
    prefix = {"add_medium": "medium-", "add_region": "region-"}[page]
    return client.post(reverse(page), {f"{prefix}{key}": value for key, value in typed.items()}, follow=True)


def test_a_region_is_added_seen_renamed_and_taken_out(client_for, owner):
    owner = client_for(owner)
    page = post(owner, "add_region", code="de-by", name="Bavaria", german="Bayern")
    assert "Bavaria can be chosen" in page.content.decode()
    path = reverse("rename_code", args=["territories", "DE-BY"])
    assert 'value="Bayern"' in owner.get(path).content.decode()
    assert "Alpine lands" in owner.post(path, {"name": "Alpine lands", "german": ""}, follow=True).content.decode()
    gone = owner.post(reverse("remove_code", args=["territories", "DE-BY"]), follow=True).content.decode()
    assert "Alpine lands is taken out" in gone
    assert "DE-BY" not in newest_trees().territories
    assert owner.get(path).status_code == 404


def test_a_region_of_a_region_stands_below_it_and_is_named_in_six_languages(client_for, owner):
    owner = client_for(owner)
    post(owner, "add_region", code="FR-IDF", name="Paris basin")
    page = post(owner, "add_region", code="FR-75C", name="Paris", parent="FR-IDF").content.decode()
    assert "FR-75C, in Paris basin" in page
    assert "FR-IDF, in France" in page
    path = reverse("rename_code", args=["territories", "FR-75C"])
    owner.post(path, {"name": "Paris", "italian": "Parigi"})
    page = owner.get(path).content.decode()
    assert 'value="Parigi"' in page
    with trees_of_the_books():
        assert (territory_name("FR-75C", "it"), territory_name("FR-75C", "sv")) == ("Parigi", "Paris")
    assert (
        'value="correo electrónico"' in owner.get(reverse("rename_code", args=["media", "web.email"])).content.decode()
    )


def test_an_added_medium_and_region_stand_in_the_fields_of_a_use(client_for, owner):
    owner = client_for(owner)
    post(owner, "add_region", code="AT-9", name="Vienna")
    post(owner, "add_medium", parent="print", name="Tea towels")
    from shoots.uses.forms import EMPTY

    with trees_of_the_books():
        fields = _fields(EMPTY)
        assert ("AT-9", "Vienna") in fields["use_more_places"].choices
        assert ("print.tea_towels", "Tea towels") in fields["use_more_media"].choices


def test_what_cannot_be_is_said_at_its_field_and_what_was_typed_comes_back(client_for, owner):
    owner = client_for(owner)
    page = post(owner, "add_region", code="Bavaria", name="Bavaria")
    assert page.status_code == 422
    assert 'value="Bavaria"' in page.content.decode()
    assert "a hyphen and up to three signs" in page.content.decode()
    page = post(owner, "add_medium", parent="web", name="…")
    assert page.status_code == 422
    assert "letters a to z" in page.content.decode()
    assert not TreeVersion.objects.exists()
    for _ in range(2):
        page = post(owner, "add_medium", parent="web", name="Blog")
    assert (page.status_code, "there already" in page.content.decode()) == (422, True)


def test_a_shipped_code_stays_and_an_unknown_one_is_no_page(client_for, owner):
    owner = client_for(owner)
    page = owner.post(reverse("remove_code", args=["media", "web.own"]), follow=True)
    assert "came with the program" in page.content.decode()
    assert owner.get(reverse("rename_code", args=["media", "radio"])).status_code == 404
    assert owner.get(reverse("rename_code", args=["weather", "web"])).status_code == 404
