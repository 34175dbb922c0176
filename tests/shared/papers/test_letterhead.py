"""The letterhead and the lines of a paper as plain values."""

from decimal import Decimal

from shared.papers.letterhead import Letterhead, PaperLine, with_carried


def test_the_sender_stands_in_one_line_above_the_address():
    assert (
        Letterhead("Tindra Aldermoor", address=("Demo Street 1", "10115 Lindhafen")).return_line
        == "Tindra Aldermoor, Demo Street 1, 10115 Lindhafen"
    )


def test_each_line_knows_the_sum_so_far_and_a_line_without_a_sum_adds_nothing():
    lines = (
        PaperLine("Day on set", amount=Decimal("780.00")),
        PaperLine("Included"),
        PaperLine("Travel", amount=Decimal("19.32")),
    )
    assert [so_far for _line, so_far in with_carried(lines)] == [
        Decimal("780.00"),
        Decimal("780.00"),
        Decimal("799.32"),
    ]
    assert with_carried(()) == []
