from clients.calls import USUAL_CALLS, read_calls, with_usual


def test_one_call_a_line_each_once_in_the_kitchens_order():
    assert read_calls(" Hot behind \n\nSharp\nHot behind\n") == ("Hot behind", "Sharp")
    assert read_calls("") == ()


def test_usual_calls_come_after_the_kitchens_own_and_never_twice():
    own = f"Heiß!\n{USUAL_CALLS[0]}"
    assert with_usual(own, USUAL_CALLS[:2]) == ("Heiß!", USUAL_CALLS[0], USUAL_CALLS[1])
