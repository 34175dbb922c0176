from shared.links.tokens import token_for, token_hash


def test_the_same_link_has_the_same_token_and_another_key_another() -> None:
    assert token_for("a", "key") == token_for("a", "key") != token_for("a", "other key") != token_for("b", "key")


def test_the_hash_is_sha_256() -> None:
    # FIPS 180-2, appendix B.1: the message "abc"
    assert token_hash("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
