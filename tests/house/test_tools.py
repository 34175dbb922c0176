"""The tools that read the whole tree: lint, form, types, imports, migrations. Their own settings are in pyproject.toml."""

import io
import subprocess
import sys
from pathlib import Path

import pytest
from django.core.management import call_command

from tests.house import rooms

TOOLS = {
    "ruff check": ["ruff", "check", "."],
    "ruff format": ["ruff", "format", "--check", "."],
    "mypy": ["mypy"],
}


def run(*words: str) -> None:
    done = subprocess.run(words, cwd=rooms.ROOT, capture_output=True, text=True, check=False)
    assert done.returncode == 0, f"{' '.join(words[:3])}\n{done.stdout[-6000:]}{done.stderr[-2000:]}"


@pytest.mark.parametrize("words", TOOLS.values(), ids=TOOLS)
def test_the_tree_passes(words):
    run(sys.executable, "-m", *words)


def test_the_imports_go_one_way():
    # As a program of its own: called here, it would switch off every logger of this process.
    run(str(Path(sys.executable).with_name("lint-imports")))


def test_templates_have_one_form():
    pages = [rooms.name(file) for file in rooms.templates() if file.suffix == ".html"]
    assert pages
    run(str(Path(sys.executable).with_name("djade")), "--check", "--target-version", "5.2", *pages)


@pytest.mark.django_db
def test_no_model_has_changed_without_its_migration():
    said = io.StringIO()
    try:
        call_command("makemigrations", "--check", "--dry-run", stdout=said)
    except SystemExit:
        pytest.fail(said.getvalue())
