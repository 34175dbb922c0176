from tests.benchmarks.fees import compare, draw_requests


def test_fees_drawn_by_lot_are_those_of_the_brute_force_and_quicker():
    _, ours, brute = compare(8, 8)
    assert ours < brute


def test_the_same_lot_draws_the_same_requests():
    assert draw_requests(3) == draw_requests(3)
    assert draw_requests(3) != draw_requests(3, seed=2)
