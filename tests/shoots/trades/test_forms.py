import pytest

from clients.actions import add_trade
from clients.models import Trade
from clients.trades import TradeRefused
from shoots.trades.forms import JoinForm, RenameForm, TradeForm

pytestmark = pytest.mark.django_db


@pytest.mark.parametrize(
    ("typed", "field", "said"),
    [
        ({"name": ""}, "name", "missing"),
        ({"name": "12"}, "name", "letters"),
        ({"name": "coffee, tea"}, "name", "more than one trade"),
        ({"name": "x" * 61}, "name", "60"),
        ({"name": "tea", "fr": "?"}, "fr", "letters"),
    ],
)
def test_what_is_no_name_is_said_at_its_field(typed, field, said):
    form = TradeForm(typed)
    assert not form.is_valid()
    assert said in form.errors[field][0]


def test_the_names_come_by_language():
    form = TradeForm({"name": " smoked  fish ", "de": "Räucherfisch"})
    assert form.is_valid()
    assert form.cleaned_data["name"] == "smoked fish"
    assert {language: name for language, name in form.names().items() if name} == {"de": "Räucherfisch"}


def test_a_known_trade_fills_its_form_and_is_not_joined_with_itself():
    trade = add_trade("smoked fish", names={"de": "Räucherfisch"})
    form = RenameForm(instance=trade)
    assert (form["name"].value(), form["de"].value(), form["version"].value()) == ("smoked fish", "Räucherfisch", 1)
    assert trade not in JoinForm(gone=trade).fields["into"].queryset
    assert Trade.objects.get(name="wine") in JoinForm(gone=trade).fields["into"].queryset


def test_a_refusal_stands_at_the_field_it_is_about():
    form = TradeForm({"name": "tea", "it": "tè"})
    assert form.is_valid()
    form.refuse(TradeRefused("It is taken.", "Choose another.", part="it"))
    assert form.errors["it"] == ["It is taken. Choose another."]
