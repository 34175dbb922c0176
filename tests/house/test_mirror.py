"""The tests mirror the code: one file a file, same path; every action and command named in some test."""

import ast
import re

from tests.house import rooms

# Files whose tests live elsewhere, each with its reason. The number may only fall.
TESTED_ELSEWHERE: dict[str, str] = {}
MOST_TESTED_ELSEWHERE = 0

UNTESTED_KINDS = {
    "models",
    "urls",
    "apps",
    "admin",
    "pages",
    "__init__",
}  # no logic of their own, or only met through a page


def mirror_of(name: str) -> str:
    folder, _, file = name.rpartition("/")
    return f"tests/{folder}/test_{file}"


def has_logic(name: str) -> bool:
    return any(isinstance(node, ast.FunctionDef | ast.ClassDef) for node in rooms.tree_of(rooms.ROOT / name).body)


def test_every_file_with_logic_has_the_test_file_of_its_name():
    names = [
        rooms.name(file)
        for file in rooms.code_files()
        if file.stem not in UNTESTED_KINDS
        and not {"migrations", "management"} & set(file.parts)
        and rooms.module_of(file) not in rooms.START
    ]
    wanted = [name for name in names if name not in TESTED_ELSEWHERE and has_logic(name)]
    missing = [f"{name} › {mirror_of(name)}" for name in wanted if not (rooms.ROOT / mirror_of(name)).exists()]
    assert not missing


def test_every_test_file_has_something_to_mirror_and_holds_a_test():
    lost = []
    for file in rooms.test_files():
        parts = file.relative_to(rooms.ROOT / "tests").parts
        if not file.name.startswith("test_"):
            continue
        code = rooms.ROOT.joinpath(*parts[:-1], parts[-1].removeprefix("test_"))
        if parts[0] in rooms.APPS and not code.exists():
            lost.append(f"{rooms.name(file)} mirrors no file")
        if "def test_" not in file.read_text():
            lost.append(f"{rooms.name(file)} holds no test")
    assert not lost


def test_the_exceptions_are_real_and_only_fall():
    assert [name for name in TESTED_ELSEWHERE if not (rooms.ROOT / name).exists()] == []
    assert len(TESTED_ELSEWHERE) == MOST_TESTED_ELSEWHERE


def words_of_the_tests() -> set[str]:
    return {word for file in rooms.test_files() for word in re.findall(r"\w+", file.read_text())}


def test_every_action_is_named_in_some_test():
    said = words_of_the_tests()
    deeds = {f"{rooms.name(file)} {name}" for file in rooms.actions() for name in rooms.public_functions(file)}
    assert sorted(deed for deed in deeds if deed.split()[1] not in said) == []


def test_every_command_is_named_in_some_test():
    said = words_of_the_tests()
    assert sorted(command for command in rooms.commands() if command not in said) == []
