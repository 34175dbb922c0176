import threading
from datetime import UTC, date, datetime

import pytest
from django.db import IntegrityError, connection, transaction

from shared.evidence.models import Evidence
from shared.papers.kept import digest_of
from shoots.licences.actions import rebuild_boxes
from shoots.licences.models import Licence, LicenceBox
from shoots.licences.queries import grant_of, licences_with_other_boxes
from shoots.scopes.actions import CodeStays, add_medium, add_region, remove_code, rename_code
from shoots.uses.in_force import reckoned_with
from shoots.uses.media_tree import media_choices, medium_name
from shoots.uses.models import TreeVersion
from shoots.uses.queries import newest_trees, tree_of, trees_of_the_books
from shoots.uses.sentences import territory_choices, territory_name
from shoots.uses.stored import MEDIA, TERRITORIES, CodeRefused
from tests.factories import licences as make

pytestmark = pytest.mark.django_db
WHO = {"by": "Tindra Aldermoor", "at": datetime(2026, 11, 26, 9, 0, tzinfo=UTC), "on": date(2026, 11, 26)}
BAVARIA = {"en": "Bavaria", "de": "Bayern"}


def bavaria():
    return add_region("de-by", names=BAVARIA, **WHO)


def newsletters(parent="web", **also):
    return add_medium(parent=parent, names={"en": "Newsletters"}, **({"is_own_promotion": True} | also), **WHO)


def test_an_added_region_is_offered_and_named_in_both_languages_from_the_next_page_on():
    assert bavaria() == "DE-BY"
    assert ("DE-BY", "Bavaria") not in territory_choices("en")
    with trees_of_the_books() as trees:
        assert trees.territories.nodes["DE-BY"].parent == "DE"
        assert ("DE-BY", "Bavaria") in territory_choices("en")
        assert (territory_name("DE-BY", "de"), territory_name("DE-BY", "fr")) == ("Bayern", "Bavaria")


def test_an_added_medium_is_offered_with_its_marks():
    assert newsletters() == "web.newsletters"
    with trees_of_the_books() as trees:
        assert ("web.newsletters", "Newsletters") in media_choices()
        assert trees.media.is_own_promotion(frozenset({"web.newsletters"}))
    assert medium_name("web.newsletters", "en") == "web.newsletters"


def test_every_change_is_the_next_version_and_all_are_kept_with_their_hash():
    bavaria()
    newsletters()
    rename_code(TERRITORIES, "DE-BY", names={"en": "Free State of Bavaria"}, **WHO)
    kept = set(TreeVersion.objects.values_list("name", flat=True))
    assert kept == {"media-1", "media-2", "territories-1", "territories-2", "territories-3"}
    assert all(row.sha256 == digest_of(row.nodes) for row in TreeVersion.objects.all())
    assert tree_of("territories-2").given_name("DE-BY", "en") == "Bavaria"
    assert Evidence.objects.filter(kind="tree_changed").count() == 3


@pytest.mark.both
def test_a_kept_tree_is_never_changed_or_taken_out():
    bavaria()
    for change in (lambda rows: rows.update(nodes=[]), lambda rows: rows.delete()):
        with pytest.raises(IntegrityError, match="kept as it was issued"), transaction.atomic():
            change(TreeVersion.objects.filter(name="territories-1"))


def test_a_licence_names_a_tree_that_is_kept():
    licence = make.granted()
    assert set(licence.frozen["trees"]) == set(TreeVersion.objects.values_list("name", flat=True))
    assert licence.tree_version == "media-1"
    with trees_of_the_books():
        newsletters()
    with trees_of_the_books():
        assert make.granted().tree_version == "media-2"


def test_a_licence_on_the_country_covers_its_new_region_and_the_rest_of_it():
    licence = make.granted()
    bavaria()
    with trees_of_the_books() as trees:
        held = trees.territories.mask(grant_of(licence, ()).territories)
        assert trees.territories.node_mask("DE-BY") & held == trees.territories.node_mask("DE-BY")
        assert trees.territories.leaves("DE") == {"DE-BY", "DE/rest"}
        assert not trees.territories.node_mask("AT") & held


def test_a_region_split_again_keeps_what_a_licence_on_it_means():
    bavaria()
    before = newest_trees().territories
    with trees_of_the_books():
        licence = make.granted(fee_net=0, use={**make.ADVERTISING, "use_territories": ["DE-BY"]})
    add_region("DE-BY1", parent="DE-BY", names={"en": "Alpine foothills"}, **WHO)
    with trees_of_the_books() as trees:
        tree = trees.territories
        assert (tree.nodes["DE-BY1"].parent, tree.leaves("DE-BY")) == ("DE-BY", {"DE-BY1", "DE-BY/rest"})
        held = tree.mask(grant_of(licence, ()).territories)
        assert tree.node_mask("DE-BY1") & held == tree.node_mask("DE-BY1")
        assert not tree.node_mask("AT") & held
        assert {code for code in before.nodes if before.interval(code) != tree.interval(code)} == {"DE-BY"}
        assert licences_with_other_boxes() == []
        assert territory_name("DE-BY/rest", "en") == "elsewhere in Bavaria"
        with pytest.raises(CodeStays, match="1 licence names it"):
            remove_code(TERRITORIES, "DE-BY", **WHO)
    for code, parent in (("FR-75C", "DE-BY"), ("DE-BW", "AT"), ("DE-BW", "europe"), ("DE-BW", "DE-XX")):
        with pytest.raises(CodeRefused, match="no part of its country"):
            add_region(code, parent=parent, names={"en": code}, **WHO)


def test_derived_rows_are_written_anew_with_the_change():
    one = make.granted(fee_net=0)
    two = make.granted(fee_net=0, use={**make.ADVERTISING, "use_media": ["print"], "use_territories": ["FR"]})
    assert {one.pk, two.pk} <= set(LicenceBox.objects.values_list("licence", flat=True))
    before = set(LicenceBox.objects.values_list("licence", "medium_lo"))
    newsletters()
    assert set(LicenceBox.objects.values_list("licence", "medium_lo")) != before
    with reckoned_with(newest_trees()):
        assert licences_with_other_boxes() == []
        LicenceBox.objects.filter(licence=two).update(medium_hi=900)
        assert licences_with_other_boxes() == [two]
        assert rebuild_boxes() == 1
        assert licences_with_other_boxes() == []


def test_a_licence_without_derived_rows_gets_none():
    licence = make.agreed()
    LicenceBox.objects.all().delete()
    bavaria()
    assert not LicenceBox.objects.filter(licence=licence).exists()


def test_codes_that_cannot_be_are_refused_and_nothing_is_kept():
    bavaria()
    newsletters()
    kept = TreeVersion.objects.count()
    for typed in ("DE-BY", "Bavaria", "DE-", "XX-BY", "DE-BYERN", "DE/BY"):
        with pytest.raises(CodeRefused):
            add_region(typed, names={"en": typed}, **WHO)
    with pytest.raises(CodeRefused, match="has this name"):
        add_region("DE-BW", names={"en": "bavaria"}, **WHO)
    with pytest.raises(CodeRefused, match="not in the tree"):
        newsletters("radio")
    with pytest.raises(CodeRefused, match="there already"):
        newsletters()
    with pytest.raises(CodeRefused, match="a to z"):
        add_medium(parent="web", names={"en": "…"}, is_own_promotion=False, **WHO)
    assert TreeVersion.objects.count() == kept


def test_a_code_that_is_named_stays_and_the_refusal_counts_who_names_it():
    bavaria()
    with trees_of_the_books():
        make.granted(use={**make.ADVERTISING, "use_territories": ["DE-BY"]})
        make.granted(use={**make.ADVERTISING, "use_territories": ["DE-BY"]})
        with pytest.raises(CodeStays, match="2 licences name it"):
            remove_code(TERRITORIES, "DE-BY", **WHO)
    assert Licence.objects.count() == 2


def test_a_code_in_a_country_that_is_named_stays():
    make.granted(use={**make.ADVERTISING, "use_territories": ["DE"]})
    bavaria()
    with trees_of_the_books(), pytest.raises(CodeStays, match="1 licence on “Germany” would lose it"):
        remove_code(TERRITORIES, "DE-BY", **WHO)


def test_an_unnamed_code_of_the_studio_goes_a_shipped_one_stays():
    bavaria()
    remove_code(TERRITORIES, "DE-BY", **WHO)
    assert "DE-BY" not in newest_trees().territories
    for kind, code in ((TERRITORIES, "AQ"), (MEDIA, "web.email")):
        with pytest.raises(CodeStays, match="came with the program"):
            remove_code(kind, code, **WHO)


@pytest.mark.both
@pytest.mark.django_db(transaction=True)
def test_two_people_adding_at_once_make_two_versions_and_the_same_code_once():
    start, told = threading.Barrier(3), []

    def add(code):
        start.wait()
        try:
            told.append(add_region(code, names={"en": code}, **WHO))
        except CodeRefused:
            told.append("refused")
        finally:
            connection.close()

    hands = [threading.Thread(target=add, args=(code,)) for code in ("DE-BY", "DE-BW", "DE-BY")]
    for hand in hands:
        hand.start()
    for hand in hands:
        hand.join()
    assert sorted(told) == ["DE-BW", "DE-BY", "refused"]
    assert {"DE-BY", "DE-BW"} <= newest_trees().territories.nodes.keys()
    assert TreeVersion.objects.filter(kind=TERRITORIES).count() == 3
