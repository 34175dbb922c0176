from shoots.scopes.forms import MediumForm, RegionForm
from shoots.uses.media_tree import MEDIA


def test_a_medium_is_part_of_one_the_tree_has():
    form = MediumForm({"medium-parent": "radio", "medium-name": "Jingles"}, tree=MEDIA)
    assert set(form.errors) == {"parent"}
    assert MediumForm({"medium-parent": "web", "medium-name": "Blog"}, tree=MEDIA).is_valid()


def test_a_region_keeps_its_code_in_capitals():
    form = RegionForm({"region-code": "de-by", "region-name": "Bavaria", "region-german": "Bayern"})
    assert form.is_valid()
    assert (form.cleaned_data["code"], form.names()) == ("DE-BY", {"en": "Bavaria", "de": "Bayern"})
    assert set(RegionForm({"region-code": "BY", "region-name": "Bavaria"}).errors) == {"code"}
