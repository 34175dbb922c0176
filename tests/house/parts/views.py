"""The views of the parts page: every part once, with and without mistakes, a letter, and the phone on set."""

from datetime import date
from decimal import Decimal

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render

from shared.access.doors import open_door
from shared.words.chart import Bar, Lane, TermChart
from shared.words.forms import (
    ChoiceCards,
    DayField,
    FilesField,
    MoneyField,
    QuantityField,
    SegmentSelect,
    SheetForm,
    SignatureField,
    TickList,
)


class LineForm(SheetForm):
    what = forms.CharField(label="What")
    how_much = QuantityField(label="How much", unit="hours")
    rate = MoneyField(label="Rate in euro")


Lines = forms.formset_factory(LineForm, extra=1)


class EveryField(SheetForm):
    title = forms.CharField(label="Name of the shoot", max_length=20, help_text="As the client calls it.")
    shot_on = DayField(label="Day of the shoot")
    day_rate = MoneyField(label="Day rate in euro", min_value=Decimal(1))
    distance = QuantityField(label="Distance", unit="km", required=False)
    client = forms.ChoiceField(
        label="Client", choices=[("", "Choose a client"), ("1", "Walnut Lantern"), ("2", "Kvernmoor Mill")]
    )
    brief = forms.CharField(label="Brief", widget=forms.Textarea, required=False)
    begins = forms.ChoiceField(
        label="Use may begin",
        choices=[("delivery", "On delivery"), ("payment", "On payment")],
        widget=forms.RadioSelect,
    )
    media = forms.MultipleChoiceField(
        label="Media",
        choices=[("web", "Website"), ("social", "Social media"), ("menu", "Menu card"), ("poster", "Window poster")],
        widget=TickList,
    )
    recognisable = forms.ChoiceField(
        label="Recognisable?",
        help_text="Tattoo, ring, face reflected.",
        choices=[("yes", "Yes"), ("no", "No"), ("ask", "Ask")],
        widget=SegmentSelect,
    )
    may_show = forms.BooleanField(label="I may show the pictures in my portfolio", help_text="From 1 Jan 2027.")
    receipt = forms.FileField(label="Receipt", required=False, widget=forms.FileInput)


class Accept(SheetForm):
    option = forms.ChoiceField(
        label="Choose an option",
        choices=[("a", "A: Six pictures"), ("b", "B: Nine pictures with a portrait")],
        widget=ChoiceCards(
            details={"a": "One day, no portrait", "b": "One of them is you at the oven"},
            figures={"a": "€1,885.34", "b": "€2,539.84"},
        ),
    )
    name = forms.CharField(label="Your full name", widget=forms.TextInput(attrs={"autocomplete": "name"}))
    signature = SignatureField(required=False)


class Pictures(SheetForm):
    files = FilesField(label="Pictures")


CHART = TermChart(
    "Licences of Walnut Lantern by shoot, July 2026 to June 2028. The same facts are in the table.",
    date(2026, 7, 1),
    date(2026, 11, 12),
    (
        Lane("Opening, 12 pictures", "Website, worldwide", (Bar("granted", date(2026, 1, 1), date(2026, 11, 30), "Until 30 Nov 2026"), Bar("free", date(2026, 12, 1), None, "Renewal: €30.00 a picture a year", "/estimates/new"))),
        Lane("Opening, 12 pictures", "Social media, worldwide", (Bar("past", date(2026, 1, 1), date(2026, 8, 31), "Ended"),)),
        Lane("Spring menu, 2 pictures", "Menu card, print, Germany", (Bar("sole", date(2026, 6, 1), date(2027, 5, 31), "Exclusive until 31 May 2027"), Bar("clash", date(2027, 3, 1), date(2027, 9, 30), "Oystercatcher Pantry asks"))),
        Lane("Winter menu, 9 pictures", "Website and social media, worldwide", (Bar("due", date(2026, 12, 1), date(2028, 11, 30), "Starts on delivery, two years. Lapses if unpaid on 13 Jan 2027"),)),
    ),
)  # fmt: skip


SAID = (
    ("en", {"sign": "Sign with a finger", "clear": "Clear"}),
    ("de", {"sign": "Mit dem Finger unterschreiben", "clear": "Löschen"}),
)


@open_door
def parts(request: HttpRequest) -> HttpResponse:
    form, lines = (
        EveryField(request.POST or None, request.FILES or None, prefix="every"),
        Lines(request.POST or None, prefix="lines"),
    )
    if request.method == "GET":
        messages.success(request, "Estimate E-2026-047 is sent to Maro Lantadze.")
        messages.error(
            request,
            "The estimate was not sent: the mail server refused it. It is kept as draft 3. Check the address and send again.",
        )
    context = {"form": form, "lines": lines, "pictures": Pictures(), "chart": CHART, "is_signed_in": True, "today": date(2026, 11, 12), "due": date(2026, 11, 4),
               "places": [{"label": label, "url": "/" + label.lower(), "is_current": label == "Shoots"} for label in ("Today", "Shoots", "Clients", "Pictures", "Money")]}  # fmt: skip
    return render(request, "parts.html", context, status=422 if request.method == "POST" else 200)


@open_door
def letter(request: HttpRequest) -> HttpResponse:
    form = Accept(request.POST or None)
    if request.method == "POST" and form.is_valid():
        return HttpResponse(form.cleaned_data["signature"], content_type="text/plain")
    return render(
        request,
        "parts_letter.html",
        {"form": form, "language": "en", "said": SAID},
        status=422 if request.method == "POST" else 200,
    )


@open_door
def on_set(request: HttpRequest) -> HttpResponse:
    return render(
        request,
        "parts_set.html",
        {"marks": ["d", "d", "s", "d", "n", "", "", ""], "light": request.GET.get("light", "")},
    )


@open_door
def total(request: HttpRequest) -> HttpResponse:
    return HttpResponse({"a": "€1,885.34", "b": "€2,539.84"}[request.GET["option"]])


@open_door
def take_file(request: HttpRequest) -> HttpResponse:
    file = request.FILES["file"]
    if file.read(2) != b"\xff\xd8":
        return JsonResponse(
            {"say": f"{file.name} is no JPEG. It was not taken in. Export it as JPEG and add it again."}, status=422
        )
    return JsonResponse({"say": "WL-1126-014", "url": "/parts"})


def _svg() -> str:
    return (
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 300 200"><rect width="300" height="200" fill="#5a4634"/>'
        '<circle cx="150" cy="100" r="70" fill="#e8e0d2"/><circle cx="150" cy="100" r="48" fill="#b5552b"/><text x="8" y="192" fill="#fff" font-size="12">drawn</text></svg>'
    )


@open_door
def picture(request: HttpRequest) -> HttpResponse:
    return HttpResponse(_svg(), content_type="image/svg+xml")
