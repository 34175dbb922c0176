from shared.outbox.registry import _listeners, listeners_for, on_fact


def test_a_listener_is_registered_once_and_unknown_facts_have_none() -> None:
    def listen() -> None: ...

    on_fact("test_only")(listen)
    on_fact("test_only")(listen)
    assert listeners_for("test_only") == (listen,)
    del _listeners["test_only"]
    assert listeners_for("test_only") == ()
