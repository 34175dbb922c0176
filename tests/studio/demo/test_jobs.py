from studio.demo.jobs import PICTURES_IN_ALL, SHOOTS, advertising, editorial, own, share_of


def test_thirty_shoots_share_two_hundred_pictures():
    assert len(SHOOTS) >= 29
    assert PICTURES_IN_ALL == 200
    assert sum(share_of(shoot, PICTURES_IN_ALL) for shoot in SHOOTS) <= PICTURES_IN_ALL + len(SHOOTS)


def test_uses_name_their_class():
    assert own()["use_classes"] == ["advertising"]
    assert editorial(12)["use_classes"] == ["editorial"]
    assert callable(advertising)
