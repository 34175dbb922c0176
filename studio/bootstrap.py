"""Makes this checkout runnable on a machine that has only Python 3.11 or newer.

`enter` returns when the running interpreter is the one of `.venv` and every pinned package is in it; otherwise it
builds `.venv` from `requirements.lock` (hash-checked, from whatever package index pip is set up to use) and starts
the same command again inside. Standard library only: it runs before anything is installed.
"""

from __future__ import annotations  # an older Python must get as far as the sentence that says so

import ctypes
import fcntl
import hashlib
import importlib.util
import os
import platform
import shutil
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parent.parent
VENV = ROOT / ".venv"
PYTHON = VENV / "bin" / "python"
LOCK = ROOT / "requirements.lock"
STAMP = VENV / "built-from"
OLDEST = (3, 11)
BROWSERS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
MAC_BROWSER = Path("/Applications/Google Chrome.app/Contents/MacOS/Google Chrome")
MAC_LIBRARIES = (Path("/opt/homebrew/lib"), Path("/usr/local/lib"))


class Need(NamedTuple):
    """Something pip cannot bring: where Debian and Homebrew keep it, and how to tell that it is here."""

    debian: str
    brew: str
    is_here: Callable[[], bool]


def enter(argv: list[str]) -> None:
    """Return inside a ready environment, or replace this process by one that is."""
    if sys.version_info < OLDEST:
        sys.exit(f"Python {OLDEST[0]}.{OLDEST[1]} or newer is needed; this is {platform.python_version()}.")
    if os.environ.get("PLATE_LEDGER_ENV") == "own":  # packaged or in a container: the caller brings the packages
        return
    if not _is_built():
        _build_alone()
    if not Path(sys.prefix).samefile(VENV):
        os.execve(PYTHON, [str(PYTHON), *argv], _environment())
    _fetch([name for name in PAPERS if not NEEDS[name].is_here()], stop=True)
    if argv[1:2] == ["test"]:  # a test without its tool fails and says the line to type; the others still run
        _fetch([name for name in TESTS if not NEEDS[name].is_here()], stop=False)


def chromium() -> str | None:
    """Path of a Chromium for the browser tests: the variable CHROMIUM wins, then the PATH, then a Mac's own folder."""
    found = os.environ.get("CHROMIUM") or next(filter(None, map(shutil.which, BROWSERS)), None)
    return found or (str(MAC_BROWSER) if MAC_BROWSER.exists() else None)


def postgres_folder() -> Path | None:
    """The folder of the newest PostgreSQL's programs; Debian keeps them off the PATH."""

    def version(folder: Path) -> int:
        return int("".join(filter(str.isdigit, folder.parent.name)) or 0)

    found = shutil.which("initdb")
    places = [*Path("/usr/lib/postgresql").glob("*/bin"), *Path("/opt/homebrew/opt").glob("postgresql@*/bin")]
    places = sorted((place for place in places if (place / "initdb").exists()), key=version)
    return places[-1] if places else Path(found).resolve().parent if found else None


def line_to_type(*names: str) -> str:
    """The one line that installs these needs by hand."""
    return " ".join([*([] if _is_brew() or os.geteuid() == 0 else ["sudo"]), *_installer(*names)])


def _is_brew() -> bool:
    return shutil.which("brew") is not None and shutil.which("apt-get") is None


def _installer(*names: str) -> list[str]:
    if _is_brew():
        return ["brew", "install", *dict.fromkeys(word for name in names for word in NEEDS[name].brew.split())]
    return ["apt-get", "install", "-y", "--no-install-recommends", *(NEEDS[name].debian for name in names)]


def _fingerprint() -> str:
    """Changes when another lock file or another Python asks for another environment."""
    made_for = f"{sys.implementation.name} {sys.version_info.major}.{sys.version_info.minor} {platform.machine()}"
    return f"{hashlib.sha256(LOCK.read_bytes()).hexdigest()} {made_for}\n"


def _is_built() -> bool:
    return PYTHON.exists() and STAMP.is_file() and STAMP.read_text() == _fingerprint()


def _build_alone() -> None:
    """Two commands started together must not build the same folder: the second waits, then finds it done."""
    with (ROOT / ".venv.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)  # let go by the system when this process ends, however it ends
        if not _is_built():
            _build()


def _build() -> None:
    same_python = (
        STAMP.is_file() and PYTHON.exists() and STAMP.read_text().split(" ", 1)[1:] == _fingerprint().split(" ", 1)[1:]
    )
    if same_python:
        _say("Bringing .venv up to the lock file")
    else:
        _say("Setting up .venv (about a minute, once)")
        if importlib.util.find_spec("ensurepip") is None:  # Debian and Ubuntu ship it in a package of its own
            _fetch(["venv"], stop=True)
        base = getattr(sys, "_base_executable", sys.executable)  # not the Python of the folder about to be cleared
        if subprocess.run([base, "-m", "venv", "--clear", VENV], check=False).returncode:
            sys.exit("Python could not make .venv (see above). Nothing outside .venv was changed.")
    STAMP.unlink(missing_ok=True)  # killed half-way, the next run starts from nothing
    install = [
        "-m",
        "pip",
        "--disable-pip-version-check",
        "-qq",
        "install",
        "--no-compile",
        "--require-hashes",
        "--only-binary",
        ":all:",
    ]
    if subprocess.run([PYTHON, *install, "-r", LOCK], check=False).returncode:
        sys.exit(
            "The packages could not be installed (see above). Nothing outside .venv was changed; "
            "check the network and run the same command again."
        )
    STAMP.write_text(_fingerprint())


def _fetch(missing: list[str], *, stop: bool) -> None:
    """Install what is missing as root or through sudo, or say exactly what to type."""
    if not missing:
        return
    command = _installer(*missing)
    rights: list[str] = []
    if not _is_brew() and os.geteuid() != 0:
        rights = ["sudo"] if sys.stdin.isatty() else ["sudo", "-n"]  # -n: nobody is there to type a password
    if all(map(shutil.which, [command[0], *rights[:1]])):
        _say(f"Installing {', '.join(NEEDS[name].debian for name in missing)}")
        if _runs([*rights, *command]):
            return
        if not _is_brew() and _runs([*rights, "apt-get", "update", "-q"]) and _runs([*rights, *command]):
            return  # a new machine had no lists yet
    if stop:
        sys.exit(
            f"Missing, and this account cannot install it. Run\n    {line_to_type(*missing)}\nthen the same command again."
        )
    _say(f"Missing; the tests that need it will fail. Run\n    {line_to_type(*missing)}")


def _runs(command: list[str]) -> bool:
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    return not subprocess.run(
        command, env=quiet, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=False
    ).returncode


def _environment() -> dict[str, str]:
    environment = dict(os.environ)
    if sys.platform == "darwin":  # a python.org or Xcode Python does not look into Homebrew's folder by itself
        environment.setdefault("DYLD_FALLBACK_LIBRARY_PATH", "/opt/homebrew/lib:/usr/local/lib:/usr/lib")
    return environment


def _say(text: str) -> None:
    print(f"· {text}", file=sys.stderr, flush=True)


def _library(stem: str, version: int) -> Callable[[], bool]:
    def is_here() -> bool:
        if sys.platform == "darwin":
            return any((folder / f"lib{stem}.{version}.dylib").exists() for folder in MAC_LIBRARIES)
        try:
            ctypes.CDLL(f"lib{stem}.so.{version}")
        except OSError:
            return False
        return True

    return is_here


def _program(name: str) -> Callable[[], bool]:
    return lambda: shutil.which(name) is not None


NEEDS = {
    "venv": Need("python3-venv", "python", lambda: importlib.util.find_spec("ensurepip") is not None),
    "pango": Need("libpango-1.0-0", "pango", _library("pango-1.0", 0)),
    "pangoft2": Need("libpangoft2-1.0-0", "pango", _library("pangoft2-1.0", 0)),
    "harfbuzz": Need("libharfbuzz0b", "pango", _library("harfbuzz", 0)),
    "harfbuzz-subset": Need("libharfbuzz-subset0", "pango", _library("harfbuzz-subset", 0)),
    "chromium": Need("chromium", "--cask chromium", lambda: chromium() is not None),
    # The browser driver's own node loads it; a Mac's does not.
    "atomic": Need("libatomic1", "", lambda: sys.platform == "darwin" or _library("atomic", 1)()),
    "postgresql": Need("postgresql", "postgresql@17", lambda: postgres_folder() is not None),
    "exiftool": Need("libimage-exiftool-perl", "exiftool", _program("exiftool")),
    "qpdf": Need("qpdf", "qpdf", _program("qpdf")),
    "poppler": Need("poppler-utils", "poppler", _program("pdftotext")),
}
PAPERS = ("pango", "pangoft2", "harfbuzz", "harfbuzz-subset")  # what the PDF library loads; no wheel brings them
TESTS = ("chromium", "atomic", "postgresql", "exiftool", "qpdf", "poppler")
