from datetime import date, timedelta
from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door
from shared.access.once import once
from shared.business.queries import today
from shared.errors import Refusal
from shoots.licences.forms import CopiesForm, DeclineForm
from shoots.licences.models import Licence, LicenceState
from shoots.licences.queries import can_be_changed, licence_in_full, licence_row, what_stands_against
from shoots.licences.views import show_licence
from shoots.life import actions, queries
from shoots.life import forms as sheets
from shoots.uses.forms import fee_in_address, is_term, use_in_address
from shoots.uses.intended import ENDLESS, InvalidUse


def _on() -> Any:
    return today(timezone.now())


def _months_named(request: HttpRequest) -> str:
    text = request.GET.get("months", "")
    return text if text == ENDLESS or is_term(text) else ""


def _handed_in(request: HttpRequest, on: date) -> dict[str, Any]:
    """What whoever priced a change hands in with the address: the use, its last day and its fee."""
    use = use_in_address(request.GET, on=on)
    return (
        {"use": use, "last_day": request.GET.get("last_day", ""), "fee_net": fee_in_address(request.GET)} if use else {}
    )


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def decline_licence(request: HttpRequest, pk: int) -> HttpResponse:
    form = DeclineForm(request.POST)
    if not form.is_valid():
        return show_licence(request, pk, status=422, decline_form=form)
    licence = get_object_or_404(Licence.objects.select_related("licensee", "supersedes"), pk=pk)
    actions.decline_licence(licence, **form.cleaned_data, at=timezone.now())
    said = f"{licence.number} is declined. It covers nothing and keeps nobody out. {queries.after_declining(licence)}"
    messages.success(request, said.strip())
    return redirect("licence_page", pk)


@door(reads=STUDIO, writes=STUDIO)
@once
def renew_licence(request: HttpRequest, pk: int) -> HttpResponse:
    licence = get_object_or_404(licence_in_full(pk))
    # What came on top for a change, or nothing for a part kept, is no fee of the whole use.
    before = None if licence.supersedes else licence.fee_net
    start = {"months": _months_named(request) or 12, "fee_net": fee_in_address(request.GET) or before}
    form = sheets.RenewForm(request.POST or None, initial=start)
    if form.is_valid():
        try:
            renewal = actions.renew_licence(licence, **form.cleaned_data, at=timezone.now())
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"Renewal {renewal.number} is offered. It begins when {licence.number} ends.")
            return redirect("licence_page", renewal.pk)
    context = {"form": form, **licence_row(licence, _on()), "pictures_count": licence.pictures.count()}
    return render(request, "shoots/life/renew_licence.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO, writes=STUDIO)
@once
def change_licence(request: HttpRequest, pk: int) -> HttpResponse:
    """What is held and what is to be held instead; what was chosen says whether it is widened, topped up or given up in part."""
    licence, on = get_object_or_404(licence_in_full(pk)), _on()
    deed = request.POST.get("do", "")
    typed = request.POST if request.method == "POST" else None
    form = sheets.ChangeForm(typed, licence=licence, on=on, deed=deed, handed=_handed_in(request, on))
    context: dict[str, Any] = {"can_change": can_be_changed(licence, on)}
    is_read = form.is_valid()
    if is_read and deed == "change":
        try:
            new = _changed(licence, form)
        except Refusal as refusal:
            form.say(refusal)
        else:
            messages.success(request, _said_of_change(new, licence))
            return redirect("licence_page", new.pk)
    changes = getattr(form, "changes", None) if form.is_bound else None
    if changes and changes.names:
        context |= _seen_first(licence, form, on)
    context |= {"licence": licence, "form": form, "pictures": form.fields["pictures"].queryset, "changes": changes}
    status = 200 if not form.is_bound or (is_read and deed != "change") else 422
    return render(request, "shoots/life/change_licence.html", context, status=status)


def _seen_first(licence: Licence, form: sheets.ChangeForm, on: date) -> dict[str, Any]:
    """What the client would hold and who stands in the way, before anything is changed. Less than is held is asked of nobody."""
    typed, use = form.cleaned_data, {**form.use_values(), "use_months": None, "exclusive_months": None}
    if form.changes.is_part:
        return {"comes_to": queries.change_in_sentences(licence, use, typed["pictures"], typed["last_day"], on)}
    is_alone_as_before = use["exclusivity"] == licence.exclusivity
    try:
        check = what_stands_against(
            licensee=licence.licensee,
            pictures=typed["pictures"],
            use=use,
            first_day=max(on, licence.use_from or on),
            last_day=typed["last_day"],
            exclusive_until=licence.exclusive_until if is_alone_as_before else None,
            trade=licence.trade_listed,
        )
    except InvalidUse as refused:
        return {"mistake": str(refused)}
    comes_to = queries.change_in_sentences(licence, use, typed["pictures"], typed["last_day"], on)
    return {"check": check, "comes_to": comes_to, "fee": typed.get("fee_net")}


def _changed(licence: Licence, form: sheets.ChangeForm) -> Licence:
    typed, use, at = form.cleaned_data, form.use_values(), timezone.now()
    yes = {"accepted_by": typed["accepted_by"], "write_to_client": typed["write_to_client"], "at": at}
    if form.changes.is_part:
        return actions.give_up_part(
            licence, classes=use["use_classes"], media=use["use_media"], territories=use["use_territories"],
            pictures=typed["pictures"], last_day=typed["last_day"], **yes,
        )  # fmt: skip
    money = {"fee_net": typed["fee_net"], "order_number": typed["order_number"]}
    if form.changes.is_top_up:
        more = use["use_copies"] - licence.use_copies
        return actions.top_up_copies(licence, copies=more, **money, **yes)
    return actions.change_licence(
        licence, use=use, pictures=typed["pictures"], last_day=typed["last_day"], signed_by=typed["signed_by"], **money, **yes
    )  # fmt: skip


def _said_of_change(new: Licence, old: Licence) -> str:
    if new.state == LicenceState.PAID:
        return f"{new.number} holds from today and takes the place of {old.number}."
    return f"{new.number} is granted. Until its fee is paid, {old.number} goes on; no day is uncovered."


@door(reads=STUDIO, writes=STUDIO)
def revoke_licence(request: HttpRequest, pk: int) -> HttpResponse:
    licence = get_object_or_404(Licence.objects.select_related("licensee"), pk=pk)
    form = sheets.RevokeForm(request.POST or None, licence=licence, on=_on(), initial={"last_day": _on()})
    if form.is_valid():
        cut_on = form.cleaned_data["last_day"] + timedelta(days=1)
        actions.revoke_licence(licence, cut_on=cut_on, reason=form.cleaned_data["reason"], at=timezone.now())
        messages.success(request, f"{licence.number} is revoked.")
        return redirect("licence_page", pk)
    context = {"licence": licence, "form": form}
    return render(request, "shoots/life/revoke_licence.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def report_copies(request: HttpRequest, pk: int) -> HttpResponse:
    form = CopiesForm(request.POST)
    if not form.is_valid():
        return show_licence(request, pk, status=422, copies_form=form)
    licence = actions.report_copies(get_object_or_404(Licence, pk=pk), **form.cleaned_data, at=timezone.now())
    over = licence.copies_used - licence.use_copies if licence.use_copies else 0
    said = f" That is {over:,} more than granted: ask for a wider licence." if over > 0 else ""
    messages.success(request, f"{licence.copies_used:,} copies are reported in all.{said}")
    return redirect("licence_page", pk)
