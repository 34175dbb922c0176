from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from clients import actions, queries
from clients.compass import compass_words
from clients.forms import (
    ClientFilter,
    ClientForm,
    ClientPersonForm,
    HourFormSet,
    KitchenForm,
    NewClientForm,
    PartFormSet,
    PersonForm,
    WindowFormSet,
    WordFilter,
)
from clients.models import Client, Kitchen, Person
from clients.trades import TradeRefused
from shared.access.doors import EVERYONE, STUDIO, door
from shared.access.once import once
from shared.addresses import row_named
from shared.business.queries import business_or_none
from shared.edits import EditedMeanwhile
from shared.words.formats import country

A_PAGE = 50


def _typed(form: Any) -> dict[str, Any]:
    return form.cleaned_data if form.is_valid() else {}


def _page(request: HttpRequest, rows: Any) -> Any:
    return Paginator(rows, A_PAGE).get_page(request.GET.get("page"))


def _answer(form: Any) -> int:
    return 422 if form.is_bound else 200


@door(reads=EVERYONE)
def clients(request: HttpRequest) -> HttpResponse:
    form = ClientFilter(request.GET)
    page = _page(request, queries.clients_listed(**_typed(form)))
    return render(request, "clients/clients.html", {"form": form, "page": page, "is_filtered": bool(request.GET)})


@door(reads=STUDIO, writes=STUDIO)
@once
def new_client(request: HttpRequest) -> HttpResponse:
    profile = business_or_none(timezone.now())
    form = NewClientForm(request.POST or None, initial={"language": profile.language if profile else "en"})
    if form.is_valid():
        typed = dict(form.cleaned_data)
        contact = {"name": typed.pop("contact_name"), "email": typed.pop("contact_email")}
        house = {"country": profile.country, "currency": profile.currency} if profile else {}
        client = actions.add_client(**typed, **house, contact=contact)
        messages.success(request, f"{client} is on your list of clients.")
        return redirect("client_page", client.pk)
    return render(request, "clients/new_client.html", {"form": form}, status=_answer(form))


def _client_page(request: HttpRequest, pk: int, form: ClientPersonForm | None = None) -> HttpResponse:
    client = get_object_or_404(queries.client_in_full(pk))
    context = {
        "client": client,
        "country": country(client.country, "en"),
        "missing": queries.missing_for_invoices(client, timezone.now()),
        "form": form or ClientPersonForm(client=client),
        "may_edit": request.user.role in STUDIO,
    }
    return render(request, "clients/client_page.html", context, status=_answer(form) if form else 200)


@door(reads=EVERYONE)
def client_page(request: HttpRequest, pk: int) -> HttpResponse:
    return _client_page(request, pk)


@door(reads=STUDIO, writes=STUDIO)
def edit_client(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    form = ClientForm(request.POST or None, instance=client)
    if form.is_valid():
        try:
            actions.change_client(client, fields=form.Meta.fields, version=form.cleaned_data["version"])
        except (EditedMeanwhile, TradeRefused) as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"{client} is saved.")
            return redirect("client_page", pk)
    return render(request, "clients/edit_client.html", {"client": client, "form": form}, status=_answer(form))


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def archive_client(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    actions.archive_client(client, at=timezone.now())
    messages.success(request, f"{client} is archived. Shoots and papers stay; find them under Archived.")
    return redirect("client_page", pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def bring_back_client(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    actions.bring_back_client(client)
    messages.success(request, f"{client} is back on the list.")
    return redirect("client_page", pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
@once
def add_client_person(request: HttpRequest, pk: int) -> HttpResponse:
    client = get_object_or_404(Client, pk=pk)
    form = ClientPersonForm(request.POST, client=client)
    if not form.is_valid():
        return _client_page(request, pk, form)
    typed = form.cleaned_data
    if typed["known"]:
        person = typed["known"]
        actions.set_parts(client, person=person, parts=form.parts())
    else:
        new = {name: typed[name] for name in ("name", "email", "phone")}
        person = actions.add_person(**new, language=client.language, client=client, parts=form.parts())
    messages.success(request, f"{person} is with {client}.")
    return redirect("client_page", pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def leave_client(request: HttpRequest, pk: int, person_pk: int) -> HttpResponse:
    client, person = get_object_or_404(Client, pk=pk), get_object_or_404(Person, pk=person_pk)
    actions.leave_client(client, person=person)
    messages.success(request, f"{person} is no longer with {client}. Their name stays on shoots and papers.")
    return redirect("client_page", pk)


@door(reads=STUDIO)
def persons(request: HttpRequest) -> HttpResponse:
    form = WordFilter(request.GET)
    page = _page(request, queries.persons_listed(**_typed(form)))
    return render(request, "clients/persons.html", {"form": form, "page": page, "is_filtered": bool(request.GET)})


@door(reads=STUDIO)
def person_page(request: HttpRequest, pk: int) -> HttpResponse:
    person = get_object_or_404(queries.person_in_full(pk))
    return render(request, "clients/person_page.html", {"person": person})


def _person_form(request: HttpRequest, person: Person) -> HttpResponse:
    form = PersonForm(request.POST or None, instance=person)
    known = [
        {
            "client": part.client_id,
            "orders": part.orders,
            "approves": part.approves,
            "pays": part.pays,
            "cooks": part.cooks,
        }
        for part in (person.parts.all() if person.pk else ())
    ]
    lines = PartFormSet(request.POST or None, initial=known, prefix="parts")
    if form.is_valid() and lines.is_valid():
        try:
            saved = actions.save_person(
                person, fields=form.Meta.fields, version=form.cleaned_data["version"], parts=lines.parts()
            )
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"{saved} is saved.")
            return redirect("person_page", saved.pk)
    return render(
        request, "clients/edit_person.html", {"person": person, "form": form, "lines": lines}, status=_answer(form)
    )


@door(reads=STUDIO, writes=STUDIO)
@once
def new_person(request: HttpRequest) -> HttpResponse:
    return _person_form(request, Person())


@door(reads=STUDIO, writes=STUDIO)
def edit_person(request: HttpRequest, pk: int) -> HttpResponse:
    return _person_form(request, get_object_or_404(Person, pk=pk))


@door(reads=STUDIO)
def kitchens(request: HttpRequest) -> HttpResponse:
    form = WordFilter(request.GET)
    page = _page(request, queries.kitchens_listed(**_typed(form)))
    return render(request, "clients/kitchens.html", {"form": form, "page": page, "is_filtered": bool(request.GET)})


@door(reads=STUDIO)
def kitchen_page(request: HttpRequest, pk: int) -> HttpResponse:
    kitchen = get_object_or_404(queries.kitchen_in_full(pk))
    windows = [(window, compass_words(window.bearing_degrees)) for window in kitchen.windows.all()]
    return render(request, "clients/kitchen_page.html", {"kitchen": kitchen, "windows": windows})


def _kitchen_form(request: HttpRequest, kitchen: Kitchen) -> HttpResponse:
    owner = row_named(request.GET, "client", Client.objects.all())
    form = KitchenForm(
        request.POST or None,
        instance=kitchen,
        client=owner,
        initial=queries.kitchen_defaults(kitchen, owner, timezone.now()),
    )
    windows = WindowFormSet(request.POST or None, initial=queries.window_lines(kitchen), prefix="windows")
    hours = HourFormSet(request.POST or None, initial=queries.hour_lines(kitchen), prefix="hours")
    checks = [form.is_valid(), windows.is_valid(), hours.is_valid()]
    if all(checks):
        lines = {"windows": windows.lines(), "hours": hours.lines()}
        try:
            saved = actions.save_kitchen(
                kitchen, fields=form.Meta.fields, version=form.cleaned_data["version"], **lines
            )
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"{saved} is saved.")
            return (
                redirect("client_page", saved.client_id)
                if saved.client_id and owner
                else redirect("kitchen_page", saved.pk)
            )
    context = {"kitchen": kitchen, "owner": owner, "form": form, "windows": windows, "hours": hours}
    return render(request, "clients/edit_kitchen.html", context, status=_answer(form))


@door(reads=STUDIO, writes=STUDIO)
@once
def new_kitchen(request: HttpRequest) -> HttpResponse:
    return _kitchen_form(request, Kitchen())


@door(reads=STUDIO, writes=STUDIO)
def edit_kitchen(request: HttpRequest, pk: int) -> HttpResponse:
    return _kitchen_form(request, get_object_or_404(Kitchen, pk=pk))


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def archive_kitchen(request: HttpRequest, pk: int) -> HttpResponse:
    kitchen = get_object_or_404(Kitchen, pk=pk)
    actions.archive_kitchen(kitchen, at=timezone.now())
    messages.success(request, f"{kitchen} is archived. The shoots there stay.")
    return redirect("kitchen_page", pk)


@door(reads=STUDIO, writes=STUDIO)
@require_POST
def bring_back_kitchen(request: HttpRequest, pk: int) -> HttpResponse:
    kitchen = get_object_or_404(Kitchen, pk=pk)
    actions.bring_back_kitchen(kitchen)
    messages.success(request, f"{kitchen} can be chosen again.")
    return redirect("kitchen_page", pk)
