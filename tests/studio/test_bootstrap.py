"""The set-up of a bare machine, as far as it shows without one; the whole way is walked by hand in a fresh clone."""

import fcntl
import subprocess
import sys

import pytest

from studio import bootstrap


@pytest.fixture
def checkout(tmp_path, monkeypatch):
    """A folder with a space in its name that holds a lock file and no environment."""
    root = tmp_path / "my books"
    root.mkdir()
    (root / "requirements.lock").write_text("")
    venv = root / ".venv"
    paths = {
        "ROOT": root,
        "LOCK": root / "requirements.lock",
        "VENV": venv,
        "PYTHON": venv / "bin" / "python",
        "STAMP": venv / "built-from",
    }
    for name, path in paths.items():
        monkeypatch.setattr(bootstrap, name, path)
    return root


@pytest.fixture
def programs(checkout, monkeypatch):
    """Stands for `venv` and `pip`: keeps what was called; `programs.pip_fails` makes pip fail."""

    class Programs(list):
        pip_fails = False

    called = Programs()

    def run(command, **_):
        called.append("pip" if "pip" in command else "venv")
        if called[-1] == "venv":
            bootstrap.PYTHON.parent.mkdir(parents=True, exist_ok=True)
            bootstrap.PYTHON.touch()
        return subprocess.CompletedProcess(command, int(called[-1] == "pip" and called.pip_fails))

    monkeypatch.setattr(subprocess, "run", run)
    return called


def test_an_environment_is_built_once_and_brought_up_when_the_lock_changes(programs):
    bootstrap._build_alone()
    assert bootstrap._is_built()
    bootstrap._build_alone()
    assert programs == ["venv", "pip"]
    bootstrap.LOCK.write_text("# another\n")
    assert not bootstrap._is_built()
    bootstrap._build_alone()
    assert bootstrap._is_built()
    assert programs == ["venv", "pip", "pip"]


def test_another_python_gets_a_new_environment(programs):
    bootstrap._build_alone()
    bootstrap.STAMP.write_text(bootstrap.STAMP.read_text().replace(".", ".9", 1))
    bootstrap._build_alone()
    assert programs == ["venv", "pip", "venv", "pip"]


def test_an_environment_killed_half_way_counts_for_nothing(checkout):
    bootstrap.PYTHON.parent.mkdir(parents=True)
    bootstrap.PYTHON.touch()
    assert not bootstrap._is_built()


def test_a_package_that_cannot_be_had_leaves_no_stamp_and_says_so(programs):
    programs.pip_fails = True
    with pytest.raises(SystemExit, match="check the network and run the same command again"):
        bootstrap._build_alone()
    assert not bootstrap._is_built()
    programs.pip_fails = False
    bootstrap._build_alone()
    assert programs == ["venv", "pip", "venv", "pip"]


def test_a_second_command_waits_for_the_first(checkout):
    waits = "import fcntl, sys; fcntl.flock(open(sys.argv[1], 'w'), fcntl.LOCK_EX | fcntl.LOCK_NB)"
    lock = checkout / ".venv.lock"
    with lock.open("w") as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        assert subprocess.run([sys.executable, "-c", waits, lock], stderr=subprocess.DEVNULL).returncode == 1
    assert subprocess.run([sys.executable, "-c", waits, lock]).returncode == 0


def test_who_brings_the_packages_is_left_alone(checkout, monkeypatch):
    monkeypatch.setenv("PLATE_LEDGER_ENV", "own")
    bootstrap.enter(["manage.py", "check"])
    assert not bootstrap.VENV.exists()


def test_an_old_python_is_told_what_is_needed(monkeypatch):
    monkeypatch.setattr(sys, "version_info", (3, 9, 2))
    with pytest.raises(SystemExit, match=r"Python 3\.11 or newer is needed"):
        bootstrap.enter(["manage.py", "demo"])


@pytest.mark.parametrize(("user", "line"), [(0, "apt-get install"), (1000, "sudo apt-get install")])
def test_what_cannot_be_installed_is_said_in_one_line_to_type(monkeypatch, user, line):
    monkeypatch.setattr("os.geteuid", lambda: user)
    monkeypatch.setattr("shutil.which", lambda name: None)
    with pytest.raises(SystemExit) as stopped:
        bootstrap._fetch(["pango", "qpdf"], stop=True)
    assert f"    {line} -y --no-install-recommends libpango-1.0-0 qpdf\n" in str(stopped.value)


def test_a_missing_tool_of_the_tests_does_not_stop_the_others(monkeypatch, capsys):
    monkeypatch.setattr("shutil.which", lambda name: None)
    bootstrap._fetch(["exiftool"], stop=False)
    assert "libimage-exiftool-perl" in capsys.readouterr().err


def test_a_mac_is_told_its_own_line(monkeypatch):
    monkeypatch.setattr("shutil.which", lambda name: "/opt/homebrew/bin/brew" if name == "brew" else None)
    assert bootstrap.line_to_type("pango", "harfbuzz", "poppler") == "brew install pango poppler"


def test_the_browser_named_by_the_environment_wins(monkeypatch):
    monkeypatch.setenv("CHROMIUM", "/opt/chromium")
    assert bootstrap.chromium() == "/opt/chromium"
