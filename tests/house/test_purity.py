"""A calculation asks nobody: no Django, no clock, no settings, no network, no chance, no file it was not handed."""

import ast
import inspect
from functools import cache

import grimp
import pytest
from astral.sun import zenith_and_azimuth

from tests.house import rooms

CHANCE_AND_CLOCK = {"now", "utcnow", "today", "monotonic", "perf_counter", "localtime", "uuid1", "uuid4", "randint", "random", "shuffle", "token_hex"}  # fmt: skip
FILES_AND_NET = {
    "getenv",
    "read_text",
    "read_bytes",
    "write_text",
    "write_bytes",
    "unlink",
    "mkdir",
    "urlopen",
    "print",
    "input",
}
FORBIDDEN_CALLS = CHANCE_AND_CLOCK | FILES_AND_NET
FORBIDDEN_IMPORTS = {"os", "random", "secrets", "socket", "subprocess", "tempfile", "shutil", "time", "sqlite3", "http", "requests", "urllib.request"}  # fmt: skip
# astral asks the clock for a moment or day it is not handed. These names cannot: the position takes its moment, the others no time.
ASTRAL_WITHOUT_A_CLOCK = {"Observer", "refraction_at_zenith", "zenith_and_azimuth"}
OPENS_WHAT_IT_IS_HANDED = {"Image", "Pdf"}  # Image.open(BytesIO(…)) reads no disk


@cache
def imports() -> grimp.ImportGraph:
    """Who imports whom, imports inside functions and under TYPE_CHECKING included."""
    return grimp.build_graph(
        *rooms.APPS, include_external_packages=True, exclude_type_checking_imports=False, cache_dir=None
    )


def chain_to_django(module: str) -> tuple[str, ...] | None:
    return imports().find_shortest_chain(importer=module, imported="django") if "django" in imports().modules else None


def test_no_chain_of_imports_leads_from_a_calculation_to_django():
    found = {rooms.module_of(file): chain_to_django(rooms.module_of(file)) for file in rooms.calculations()}
    assert not {module: " › ".join(chain) for module, chain in found.items() if chain}


def test_the_calculations_of_shared_are_all_named():
    """The list in rooms.py is what the imports say: what no chain leads to Django from, and holds any logic."""
    candidates = [
        file
        for file in rooms.code_files()
        if file.is_relative_to(rooms.ROOT / "shared")
        and file.stem not in rooms.FURNITURE | rooms.GATHERING
        and not rooms.DJANGO_FOLDERS & set(file.parts)
    ]
    free = {rooms.module_of(file) for file in candidates if not chain_to_django(rooms.module_of(file))}
    assert free - rooms.MACHINERY_OF_SHARED == rooms.PURE_SHARED


def forbidden(tree: ast.AST) -> list[str]:
    """What a calculation may not say, with its line."""
    found = []
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = node.func
            if isinstance(called, ast.Name) and called.id in FORBIDDEN_CALLS | {"open"}:
                found.append(f"{node.lineno}: {called.id}()")
            if isinstance(called, ast.Attribute):
                owner = called.value.id if isinstance(called.value, ast.Name) else ""
                opens = called.attr == "open" and owner not in OPENS_WHAT_IT_IS_HANDED
                if opens or called.attr in FORBIDDEN_CALLS:
                    found.append(f"{node.lineno}: .{called.attr}()")
        elif isinstance(node, ast.Import):
            found += [f"{node.lineno}: import {each.name}" for each in node.names if each.name in FORBIDDEN_IMPORTS]
            found += [f"{node.lineno}: import {each.name}" for each in node.names if each.name.startswith("astral")]
        elif isinstance(node, ast.ImportFrom) and (node.module or "").partition(".")[0] == "astral":
            asking = [each.name for each in node.names if each.name not in ASTRAL_WITHOUT_A_CLOCK]
            found += [f"{node.lineno}: from astral import {name}" for name in asking]
        elif isinstance(node, ast.ImportFrom) and (node.module or "") in FORBIDDEN_IMPORTS:
            found.append(f"{node.lineno}: from {node.module}")
        elif isinstance(node, ast.Name) and node.id in {"settings", "environ"}:
            found.append(f"{node.lineno}: {node.id}")
    return found


def test_no_calculation_asks_the_clock_the_disk_the_net_or_chance():
    found = {rooms.name(file): forbidden(rooms.tree_of(file)) for file in rooms.calculations()}
    assert not {file: lines for file, lines in found.items() if lines}


@pytest.mark.parametrize(
    "line",
    [
        "datetime.now(UTC)",
        "date.today()",
        "open('prices.csv')",
        "Path('x').open()",
        "os.getenv('X')",
        "import random",
        "uuid4()",
        "path.read_text()",
        "from urllib.request import urlopen",
        "settings.DEBUG",
        "import astral.sun",
        "from astral.sun import elevation",
        "from astral import now",
    ],
)
def test_the_guard_sees_a_planted_fault(line):
    assert forbidden(ast.parse(line))


def test_what_is_taken_from_astral_is_handed_its_moment():
    assert not forbidden(ast.parse("from astral.sun import zenith_and_azimuth"))
    moment = inspect.signature(zenith_and_azimuth).parameters["dateandtime"]
    assert moment.default is inspect.Parameter.empty


def test_the_guard_lets_a_calculation_open_what_it_was_handed():
    assert not forbidden(ast.parse("Image.open(BytesIO(picture))"))
