"""Names and marks: one name for a thing, none for a drawer; nothing inline; nothing left for later."""

import ast
import re

import pytest

from tests.house import pages, rooms

DRAWERS = {"utils", "util", "helpers", "helper", "common", "misc", "manager", "managers", "service", "services", "handler", "handlers", "data"}  # fmt: skip
VERBS_FIRST = re.compile(r"[a-z]+_[a-z0-9_]+")


def test_no_file_is_a_drawer():
    files = [*rooms.code_files(), *rooms.test_files(), *rooms.templates()]
    words = {rooms.name(file): {file.stem, *file.relative_to(rooms.ROOT).parts[:-1]} for file in files}
    assert [name for name, parts in words.items() if parts & DRAWERS] == []


def test_an_action_is_a_verb_and_its_noun():
    named = {f"{rooms.name(file)} {name}" for file in rooms.actions() for name in rooms.public_functions(file)}
    lone_verbs = {"conceal"}
    wrong = [action for action in named if not VERBS_FIRST.fullmatch(action.split()[1])]
    assert sorted(action for action in wrong if action.split()[1] not in lone_verbs) == []


def inline(text: str) -> list[str]:
    """What the content-security policy would refuse: scripts and styles written into the page."""
    without_comments = re.sub(r"{#.*?#}|{% comment %}.*?{% endcomment %}|<!--.*?-->", "", text, flags=re.DOTALL)
    tags = re.findall(r"<[a-zA-Z][^<>]*>", re.sub(r"{{.*?}}|{%.*?%}", " x ", without_comments, flags=re.DOTALL))
    found = [tag for tag in tags if re.search(r"\s(style|on[a-z]+)\s*=|javascript:", tag, re.IGNORECASE)]
    found += [tag for tag in tags if re.match(r"<style\b", tag, re.IGNORECASE)]
    scripts = [tag for tag in tags if re.match(r"<script\b", tag, re.IGNORECASE)]
    return found + [tag for tag in scripts if not re.search(r'\ssrc=|type="application/(ld\+)?json"', tag)]


def test_no_template_holds_a_style_or_a_script():
    found = {rooms.name(file): inline(file.read_text()) for file in rooms.templates()}
    assert not {name: tags for name, tags in found.items() if tags}


def test_the_guard_sees_planted_inline_parts():
    planted = ['<p style="x">', "<style>", "<script>alert()</script>", '<a onclick="x">', '<a href="javascript:x">']
    assert [part for part in planted if not inline(part)] == []
    assert inline('<script src="{% static "a.js" %}" defer></script><p class="style">on = 1</p>') == []


# One letter of each word stands in brackets, so that this file does not find itself.
LEFT_FOR_LATER = re.compile(r"\b(T[O]DO|FIX[M]E|XX[X]|HA[C]K)\b")
OF_THE_WORKSHOP = re.compile(
    r"(?<![\w.>}-])/w[o]rk(/|\b(?![\w-]))|inde[x]-url|prototype[s]/|share[d]/(facts|design|recipes|hooks)/"
)


def lines_with(pattern: re.Pattern[str]) -> list[str]:
    found = []
    for file in rooms.kept_files():
        text = rooms.text_of(file)
        if text is None or (file.suffix in {".js", ".css"} and ".min." in file.name):
            continue
        lines = enumerate(text.splitlines(), start=1)
        found += [
            f"{rooms.name(file)}:{number}: {line.strip()[:100]}" for number, line in lines if pattern.search(line)
        ]
    return found


def test_nothing_is_left_for_later():
    assert lines_with(LEFT_FOR_LATER) == []


def test_nothing_names_the_workshop_it_was_built_in():
    assert lines_with(OF_THE_WORKSHOP) == []


def test_the_guard_knows_a_folder_from_a_page():
    assert OF_THE_WORKSHOP.search("see /{}/main".format("work"))
    assert not OF_THE_WORKSHOP.search("path('shoots/<int:pk>/work/')")


def names_of_pages() -> set[str]:
    return {str(pattern.name) for pattern in pages.patterns()}


def names_linked(text: str) -> set[str]:
    """The URL names a template asks for: of a `url` tag, and handed to a part that makes the link (`with name="…_panel"`)."""
    tags = re.findall(r"""{%\s*url\s+["']([^"']+)["']""", text)
    return {*tags, *re.findall(r"""{%\s*include\s[^%]*\swith\s[^%]*\bname=["'](\w+_panel)["']""", text)}


def names_reversed(text: str) -> set[str]:
    """The URL names Python code asks for; an address or a path is none."""
    calls = [node for node in ast.walk(ast.parse(text)) if isinstance(node, ast.Call) and node.args]
    asking = [call for call in calls if getattr(call.func, "id", "") in {"redirect", "reverse", "reverse_lazy"}]
    said = [call.args[0].value for call in asking if isinstance(call.args[0], ast.Constant)]
    return {name for name in said if re.fullmatch(r"\w+", str(name))}


@pytest.mark.parametrize(
    ("files", "asked"), [(rooms.templates, names_linked), (rooms.code_files, names_reversed)], ids=["templates", "code"]
)
def test_every_link_leads_to_a_page_that_exists(files, asked):
    """`{% url … as u %}{% if u %}` hides a wrong name: nothing fails, and the link is never there."""
    known = names_of_pages()
    found = {rooms.name(file): asked(file.read_text()) for file in files()}
    assert any(found.values())
    assert {name: sorted(names - known) for name, names in found.items() if names - known} == {}


def test_the_guard_sees_planted_links():
    page = (
        """{% url 'rates' %}{% url "no_page" client.pk as u %}{% include "a.html" with name="no_panel" heading="x" %}"""
    )
    assert names_linked(page) == {"rates", "no_page", "no_panel"}
    code = "redirect('no_page', pk); reverse('rates'); redirect('/shoots/'); redirect(url); reverse_lazy('no_login')"
    assert names_reversed(code) == {"no_page", "rates", "no_login"}
