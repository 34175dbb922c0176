from shared.words.phrases import LICENCE_LANGUAGES
from shoots.uses.media_tree import MEDIA, MEDIA_NAMES, READ_EVERYWHERE, media_choices, medium_name
from shoots.uses.trees import REST


def test_print_web_and_the_other_channels_together_make_all_media():
    parts = frozenset({"print", "web", "out_of_home", "broadcast", "press", "internal"})
    assert MEDIA.mask(parts) == MEDIA.node_mask("all")


def test_all_named_print_does_not_make_print():
    named = frozenset(MEDIA.children("print"))
    assert MEDIA.node_mask("print") & ~MEDIA.mask(named)


def test_own_promotion_is_marked_on_the_house_s_own_channels():
    marked = {code for code, node in MEDIA.nodes.items() if node.own_promotion}
    assert marked == {
        "web.own",
        "web.email",
        "web.social",
        "web.platforms",
        "print.menu",
        "print.point_of_sale",
        "press",
        "internal",
    }


def test_copies_are_counted_in_print_alone():
    counted = {code for code, node in MEDIA.nodes.items() if node.counted}
    assert counted == {"print", *MEDIA.children("print")}


def test_every_medium_and_every_rest_has_a_name_in_each_language():
    wanted = set(MEDIA.nodes) | {leaf for leaf in MEDIA.leaf_names if leaf.endswith(REST)}
    assert set(MEDIA_NAMES) == wanted
    for language in LICENCE_LANGUAGES:
        names = {medium_name(code, language) for code in wanted}
        assert len(names) == len(wanted)
        assert language == "en" or len(names & set(MEDIA_NAMES.values())) <= 3  # menu, e-mail, social media


def test_a_medium_of_the_studio_s_own_tree_stands_for_itself():
    assert medium_name("web.hologram", "de") == "web.hologram"
    assert medium_name("web.own", "de-AT") == "Website"


def test_own_promotion_is_offered_first_in_every_form():
    choices = media_choices()
    assert choices[0] == ("web.own", "website")
    assert sorted(code for code, _ in choices) == sorted(MEDIA.nodes)
    assert all(MEDIA.nodes[code].own_promotion for code, _ in choices[:8])


def test_own_website_and_organic_posts_are_read_everywhere():
    assert {"web.own", "web.social"} == READ_EVERYWHERE
