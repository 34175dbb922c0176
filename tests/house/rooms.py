"""What the guards know of the house: which files there are, and what kind each one is."""

import ast
import re
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
APPS = ("shared", "clients", "shoots", "billing", "studio")
TOWER = ("shoots", "billing")  # the apps whose rooms hold calculations and nothing but furniture beside them

FURNITURE = frozenset({"models", "queries", "actions", "papers", "forms", "views", "urls", "__init__"})
GATHERING = frozenset(
    {"models", "urls", "apps", "admin", "pages", "__init__"}
)  # at the app: they gather, or Django asks for them
DJANGO_FOLDERS = frozenset({"migrations", "management", "templatetags"})
START = frozenset({"studio.settings", "studio.wsgi", "studio.urls"})

# `shared` mixes: its calculations are named. test_purity holds that this list says what the imports say.
PURE_SHARED = frozenset(
    [
        "shared.business.checks",
        "shared.business.particulars",
        "shared.business.union",
        "shared.dates",
        "shared.errors",
        "shared.money",
        "shared.strict_json",
        "shared.tables",
        "shared.access.throttle",
        "shared.evidence.chain",
        "shared.files.media_types",
        "shared.files.pdfs",
        "shared.files.pictures",
        "shared.files.refusals",
        "shared.links.tokens",
        "shared.numbers.series",
        "shared.outbox.schedule",
        "shared.papers.kept",
        "shared.papers.letterhead",
        "shared.words.chart",
        "shared.words.formats",
        "shared.words.signature",
    ]
)
# Reaches no Django and still is no calculation: it remembers who asked for what.
MACHINERY_OF_SHARED = frozenset({"shared.outbox.registry", "shared.links.purposes", "shared.words.phrases"})


@cache
def code_files() -> tuple[Path, ...]:
    """Every Python file of the five apps."""
    return tuple(sorted(file for app in APPS for file in (ROOT / app).rglob("*.py") if "__pycache__" not in file.parts))


@cache
def test_files() -> tuple[Path, ...]:
    return tuple(sorted((ROOT / "tests").rglob("*.py")))


def rooms() -> tuple[str, ...]:
    """`billing/estimates`, `shared/links`, … (clients is one room, flat)."""
    folders = {file.parent for file in code_files() if file.parent.parent.parent == ROOT}
    return tuple(sorted(folder.relative_to(ROOT).as_posix() for folder in folders if folder.name not in DJANGO_FOLDERS))


def module_of(file: Path) -> str:
    parts = file.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def is_calculation(file: Path) -> bool:
    """Any file of a room of clients, shoots or billing that is not furniture; in `shared` those that are named."""
    parts = file.relative_to(ROOT).parts
    if DJANGO_FOLDERS & set(parts):
        return False
    if parts[0] == "clients":
        return file.stem not in FURNITURE | GATHERING
    if parts[0] in TOWER:
        return len(parts) > 2 and file.stem not in FURNITURE
    return module_of(file) in PURE_SHARED


def calculations() -> tuple[Path, ...]:
    return tuple(file for file in code_files() if is_calculation(file))


def actions() -> tuple[Path, ...]:
    return tuple(file for file in code_files() if file.stem == "actions")


@cache
def tree_of(file: Path) -> ast.Module:
    return ast.parse(file.read_text(), filename=str(file))


def public_functions(file: Path) -> tuple[str, ...]:
    return tuple(
        node.name for node in tree_of(file).body if isinstance(node, ast.FunctionDef) and not node.name.startswith("_")
    )


def commands() -> tuple[str, ...]:
    """The commands of this house, `test` included: it is manage.py's own."""
    found = {file.stem for app in APPS for file in (ROOT / app / "management" / "commands").glob("[!_]*.py")}
    return tuple(sorted(found | {"test"}))


def templates() -> tuple[Path, ...]:
    return tuple(sorted(file for file in (ROOT / "templates").rglob("*") if file.suffix in {".html", ".svg", ".xml"}))


@cache
def kept_files() -> tuple[Path, ...]:
    """Every file that git keeps or would keep; without git, every file that is no by-product."""
    listed = subprocess.run(
        ["git", "ls-files", "--cached", "--others", "--exclude-standard", "-z"],
        cwd=ROOT,
        capture_output=True,
        check=False,
    )
    if listed.returncode == 0:
        names = listed.stdout.decode().split("\0")
        return tuple(sorted(ROOT / name for name in names if name and (ROOT / name).is_file()))
    return tuple(sorted(_all_files(ROOT)))


def _all_files(folder: Path) -> Iterator[Path]:
    for path in folder.iterdir():
        if path.is_dir() and not re.fullmatch(r"\.(?!ci$).*|__pycache__|test-results", path.name):
            yield from _all_files(path)
        elif path.is_file() and path.suffix != ".pyc":
            yield path


def text_of(file: Path) -> str | None:
    """The text of a file, or None when it holds no text (fonts, pictures)."""
    try:
        return file.read_text()
    except UnicodeDecodeError:
        return None


def name(file: Path) -> str:
    return file.relative_to(ROOT).as_posix()
