"""Documentation that fails when it lies: what README.md and DEVELOPERS.md name exists, and what exists is named."""

import re

from django.core.management import get_commands

from tests.house import rooms

README, DEVELOPERS = (rooms.ROOT / "README.md").read_text(), (rooms.ROOT / "DEVELOPERS.md").read_text()
BOTH = README + DEVELOPERS
SETTING = re.compile(r"\b(?:PLATE_LEDGER_[A-Z_]+|DATABASE_URL|CHROMIUM)\b")
INVENTED = re.compile(r"[<>{}*…]")  # a pattern, not a path: tests/<app>/<room>/


def code_of_the_docs() -> list[str]:
    """Every word written as code: between backticks, and in the fenced blocks."""
    fenced = re.findall(r"^```\w*\n(.*?)^```", BOTH, re.DOTALL | re.MULTILINE)
    inline = re.findall(r"`([^`\n]+)`", re.sub(r"^```.*?^```", "", BOTH, flags=re.DOTALL | re.MULTILINE))
    return [word for part in [*fenced, *inline] for word in part.split()]


def paths_of_the_docs() -> list[str]:
    tops = "|".join([*rooms.APPS, "tests", "templates"])
    looks_like_one = re.compile(rf"(?:{tops}|\.\w+)/[\w./-]*|[\w./-]*\.(?:py|md|toml|lock|css|js|html|txt|po|pdf)")
    return [word for word in code_of_the_docs() if not INVENTED.search(word) and looks_like_one.fullmatch(word)]


def exists(path: str) -> bool:
    """A path from the top, or, for a bare file name, such a file somewhere."""
    by_products = (".venv", ".data", ".pytest_cache")
    if path.startswith(by_products):
        return True
    if (rooms.ROOT / path).exists():
        return True
    return any(file.name == path or rooms.name(file).endswith("/" + path) for file in rooms.kept_files())


def test_the_readme_opens_with_the_job_and_two_commands():
    title, job, *_ = README.split("\n\n")
    assert title.startswith("# ")
    assert not job.startswith(("#", "`", "-"))
    assert re.findall(r"^ {4}(python3? .*?)\s*(?:#.*)?$", README, re.MULTILINE)[:2] == [
        "python3 manage.py demo",
        "python3 manage.py test",
    ]


def test_every_command_in_the_docs_exists():
    named = set(re.findall(r"manage\.py ([a-z][a-z_]*)", BOTH))
    assert sorted(named - set(get_commands()) - set(rooms.commands())) == []


def test_every_command_is_in_the_docs():
    named = set(re.findall(r"manage\.py ([a-z][a-z_]*)", BOTH))
    assert sorted(set(rooms.commands()) - named) == []


def test_every_path_in_the_docs_exists():
    assert paths_of_the_docs()
    assert sorted({path for path in paths_of_the_docs() if not exists(path)}) == []


def test_every_room_is_in_the_developers_page():
    assert [room for room in rooms.rooms() if f"`{room}/`" not in DEVELOPERS] == []


def test_every_furniture_name_is_in_the_developers_page():
    names = sorted(rooms.FURNITURE - {"__init__"})
    assert [name for name in names if f"`{name}.py`" not in DEVELOPERS] == []


def test_settings_in_the_docs_and_in_the_code_are_the_same():
    code = [rooms.ROOT / "manage.py", *rooms.code_files()]
    read = {found for file in code for found in SETTING.findall(file.read_text())}
    assert sorted(read) == sorted(set(SETTING.findall(BOTH)))


def test_every_guard_is_in_the_developers_page():
    guards = sorted(file.name for file in (rooms.ROOT / "tests" / "house").glob("test_*.py"))
    assert [guard for guard in guards if f"`tests/house/{guard}`" not in DEVELOPERS] == []


def test_every_journey_has_its_figures():
    journeys = sorted(file.stem.removeprefix("test_") for file in (rooms.ROOT / "tests" / "journeys").glob("test_*.py"))
    assert sorted(re.findall(r"^\| `([a-z_]+)` \| \d+ \| \d+ \| \d+ \|$", DEVELOPERS, re.MULTILINE)) == journeys
