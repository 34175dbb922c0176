from shoots.scopes.forms import MediumForm, RegionForm, RenameForm
from shoots.uses.media_tree import MEDIA
from shoots.uses.stored import with_node
from shoots.uses.territory_tree import TERRITORIES
from shoots.uses.trees import Node


def test_a_medium_is_part_of_one_the_tree_has():
    form = MediumForm({"medium-parent": "radio", "medium-name": "Jingles"}, tree=MEDIA)
    assert set(form.errors) == {"parent"}
    assert MediumForm({"medium-parent": "web", "medium-name": "Blog"}, tree=MEDIA).is_valid()


def test_a_region_keeps_its_code_in_capitals():
    form = RegionForm({"region-code": "de-by", "region-name": "Bavaria", "region-german": "Bayern"}, tree=TERRITORIES)
    assert form.is_valid()
    assert (form.cleaned_data["code"], form.names()) == ("DE-BY", {"en": "Bavaria", "de": "Bayern"})
    assert set(RegionForm({"region-code": "BY", "region-name": "Bavaria"}, tree=TERRITORIES).errors) == {"code"}


def test_a_region_may_lie_in_one_of_the_same_country_and_in_no_other():
    node = Node("FR-IDF", "FR", names=(("en", "Paris basin"),))
    tree = with_node(TERRITORIES, node, kind="territories", version="territories-2")
    typed = {"region-name": "Paris", "region-parent": "FR-IDF"}
    assert RegionForm({"region-code": "FR-75C", **typed}, tree=tree).is_valid()
    assert set(RegionForm({"region-code": "DE-BY", **typed}, tree=tree).errors) == {"parent"}
    assert "parent" not in RegionForm(tree=TERRITORIES).fields


def test_a_name_is_given_in_every_language_of_a_licence():
    form = RenameForm({"name": "Bavaria", "swedish": "Bayern"}, names={"en": "Bavaria", "fr": "Bavière"})
    assert form.initial["french"] == "Bavière"
    assert form.is_valid()
    assert form.names() == {"en": "Bavaria", "de": "", "fr": "", "es": "", "it": "", "sv": "Bayern"}
