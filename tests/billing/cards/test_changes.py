from billing.cards.changes import NOTHING, REST, Change, differences


def test_what_is_the_same_is_left_out_and_the_order_kept() -> None:
    old = [("Work", {"Day": "780", "Half day": "470"}), ("Fees", {"Base": "180"})]
    new = [("Work", {"Day": "800", "Half day": "470"}), ("Fees", {"Base": "200"})]
    assert list(differences(old, new)) == [Change("Work", "Day", "780", "800"), Change("Fees", "Base", "180", "200")]
    assert list(differences(old, old)) == []


def test_a_line_only_one_card_has_stands_beside_nothing() -> None:
    assert list(differences([("Term", {"1": "a"})], [("Term", {"2": "b"})])) == [
        Change("Term", "1", "a", NOTHING),
        Change("Term", "2", NOTHING, "b"),
    ]


def test_a_country_without_a_line_has_what_every_other_has() -> None:
    old, new = [("Countries", {"Austria": "0.6", REST: "0.3"})], [("Countries", {REST: "0.3", "Norway": "0.3"})]
    assert list(differences(old, new)) == [Change("Countries", "Austria", "0.6", "0.3")]
