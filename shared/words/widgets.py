"""Writes the inner parts of a form: boxes, ticks and lists of choices.

Django renders a template for each choice, and in it one for its attributes. A list of four hundred time zones so takes twenty times
an empty page; written here it takes two or three. What is written is the same.
"""

from collections.abc import Mapping
from html import escape
from typing import Any

from django.forms.renderers import DjangoTemplates
from django.utils.formats import localize
from django.utils.safestring import SafeData, SafeString, mark_safe

FOLDER = "django/forms/widgets/"
BOXES = frozenset(
    {"text", "number", "email", "url", "password", "hidden", "date", "time", "datetime", "file", "checkbox"}
)
CHOICES = frozenset({"radio_option", "checkbox_option"})

Widget = Mapping[str, Any]


class SheetRenderer(DjangoTemplates):
    """Django's renderer, with the parts that stand on a page by the hundred written without a template."""

    def render(self, template_name: str, context: dict[str, Any], request: Any = None) -> SafeString:
        name = template_name.removeprefix(FOLDER).removesuffix(".html")
        widget = context.get("widget", {})
        if name == "select":
            return mark_safe(_select(widget))
        if name in BOXES or (name in CHOICES and not widget.get("wrap_label")):
            return mark_safe(_box(widget))
        return mark_safe(super().render(template_name, context, request))


def _box(widget: Widget) -> str:
    value = "" if widget["value"] is None else f' value="{_text(widget["value"])}"'
    return f'<input type="{_text(widget["type"])}" name="{_text(widget["name"])}"{value}{_attributes(widget)}>'


def _select(widget: Widget) -> str:
    groups = "\n".join(_group(name, options) for name, options, _ in widget["optgroups"])
    return f'<select name="{_text(widget["name"])}"{_attributes(widget)}>\n{groups}\n</select>'


def _group(name: Any, options: list[Widget]) -> str:
    rows = "\n".join(
        f'<option value="{_text(each["value"])}"{_attributes(each)}>{_text(localize(each["label"]))}</option>'
        for each in options
    )
    return f'<optgroup label="{_text(localize(name))}">\n{rows}\n</optgroup>' if name else rows


def _attributes(widget: Widget) -> str:
    return "".join(
        f" {_text(name)}" if value is True else f' {_text(name)}="{_text(value)}"'
        for name, value in widget["attrs"].items()
        if value is not False
    )


def _text(value: Any) -> str:
    text = str(value)
    return text if text.isalnum() or isinstance(text, SafeData) else escape(text)
