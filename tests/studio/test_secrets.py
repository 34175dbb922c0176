"""The secret key of a folder of books."""

from studio.secrets import secret_key


def test_the_key_is_made_once_and_only_its_owner_reads_it(tmp_path):
    key = secret_key(tmp_path)
    assert len(key) >= 50
    assert secret_key(tmp_path) == key
    assert (tmp_path / "secret.key").stat().st_mode & 0o777 == 0o600
    assert [file.name for file in tmp_path.iterdir()] == ["secret.key"]


def test_two_folders_have_two_keys(tmp_path):
    first, second = tmp_path / "a", tmp_path / "b"
    first.mkdir()
    second.mkdir()
    assert secret_key(first) != secret_key(second)
