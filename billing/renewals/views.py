from datetime import date, timedelta
from typing import Any

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import urlencode
from django.views.decorators.http import require_POST

from billing.cards.forms import TryFeeForm
from billing.cards.trying import Asked, Case, Tried, try_fee
from billing.rates.fees import CannotPrice, InvalidItem
from billing.rates.queries import rates_in_force, usage_card, usage_kept
from billing.renewals import actions, queries
from billing.renewals.forms import DraftForm, EndingFilter
from clients.models import Client
from shared.access.doors import NOBODY, OWNER, door
from shared.access.once import once
from shared.addresses import row_named
from shared.business.queries import today
from shared.errors import Refusal
from shared.words import formats
from shoots.found.models import FoundUse
from shoots.licences.models import Licence
from shoots.licences.queries import licences_ending
from shoots.life.queries import renewed_use
from shoots.uses.forms import use_address
from shoots.uses.intended import ENDLESS, copies_as_asked

A_PAGE = 10  # a licence holds dozens of pictures, each looked at
A_YEAR = timedelta(days=365)


@door(reads=OWNER, writes=OWNER)
@once
def renewals(request: HttpRequest) -> HttpResponse:
    """Licences that end soon with what going on costs, a client's together; one press drafts the renewals of a client."""
    on = today(timezone.now())
    form, card = EndingFilter(request.GET if "days" in request.GET else {"days": 60}), rates_in_force(on)
    days = form.cleaned_data["days"] if form.is_valid() else 60
    page = Paginator(licences_ending(on, days=days), A_PAGE).get_page(request.GET.get("page"))
    groups = [
        (client, endings, _draft_form(request, client, endings, card.currency))
        for client, endings in queries.by_client(queries.endings_priced(page, card))
    ]
    for client, _, draft in groups:
        if draft.is_bound and draft.is_valid() and (answer := _drafted(request, client, draft)):
            return answer
    context = {"form": form, "page": page, "groups": groups, "card": card, "days": days, "today": on}
    context |= {"is_starting": usage_kept(card) == usage_kept(None), "is_filtered": days != 60}
    is_refused = any(draft.is_bound for _, _, draft in groups)
    return render(request, "billing/renewals/renewals.html", context, status=422 if is_refused else 200)


def _draft_form(request: HttpRequest, client: Client, endings: list[queries.Ending], currency: str) -> DraftForm:
    typed = request.POST if request.method == "POST" and request.POST.get("client") == str(client.pk) else None
    return DraftForm(typed, endings=endings, currency=currency, prefix=f"c{client.pk}")


def _drafted(request: HttpRequest, client: Client, draft: DraftForm) -> HttpResponse | None:
    wanted, write = draft.wanted(), draft.cleaned_data["write_to_client"]
    try:
        made = actions.draft_renewals(wanted, write_to_client=write, at=timezone.now())
    except Refusal as refusal:
        draft.say(refusal)
        return None
    numbers = formats.list_in_words([each.number for each in made], "en")
    said = "and sent to the client" if write else "and not sent yet"
    messages.success(
        request, f"{numbers} for {client}: drafted {said}. Once they say yes, the fee goes on the next month’s invoice."
    )
    return (
        redirect("licence_page", made[0].pk)
        if len(made) == 1
        else redirect(f"{reverse('licences')}?state=offered&client={client.pk}")
    )


# A fee handed on


@door(reads=OWNER)
def licence_fee_panel(request: HttpRequest, pk: int) -> HttpResponse:
    """On the page of a licence: which fee by which card, where its fee stands, and what a change or a renewal would cost."""
    licence, on = get_object_or_404(Licence.objects.select_related("licensee"), pk=pk), today(timezone.now())
    context = queries.fee_panel(licence)
    start = {"licence": licence.pk, "pictures": licence.pictures.count() or licence.pictures_agreed or 1}
    money = (
        {} if context["carrier"] or licence.currency != rates_in_force(on).currency else {"agreed_fee": licence.fee_net}
    )
    for case, first in ((Case.CHANGE, max(on, licence.use_from or on)), (Case.RENEWAL, licence.use_until or on)):
        known = {**start, "case": case, "use_from": first.isoformat(), **(money if case == Case.CHANGE else {})}
        context[f"try_{case}"] = _address("try_fee", known, licence, first if case == Case.CHANGE else None)
    context["can_change"] = licence.state == "paid" and licence.is_placed and (licence.last_day or date.max) >= on
    context["can_renew"] = licence.state in ("accepted", "paid") and licence.is_placed and licence.use_until is not None
    return render(request, "billing/renewals/licence_fee_panel.html", context)


def _address(name: str, known: dict[str, Any], licence: Licence, first: date | None) -> str:
    """The page to try a fee on, filled in with what a licence grants; from ``first`` on what is left of it."""
    left = licence.use_until and queries.months_until(first or licence.use_from, licence.use_until)
    use = renewed_use(licence, left) | {"use_copies": copies_as_asked(licence.use_copies, licence.use_media)}
    return f"{reverse(name)}?{urlencode([*known.items(), *use_address(use)])}#h-fee"


@door(reads=OWNER)
def found_fee_panel(request: HttpRequest, pk: int) -> HttpResponse:
    """On the page of a use found: what a licence for it costs, for the days that are over and with a year to come."""
    found, on = get_object_or_404(FoundUse, pk=pk), today(timezone.now())
    card, count, context = rates_in_force(on), found.pictures.count(), {"found": found}
    context |= {"card": card, "handling": queries.handling_of(card), "pictures": count}
    try:
        context["fees"] = [queries.past_use_priced(found, count, card, last_on=last) for last in (on, on + A_YEAR)]
        context["try_url"] = f"{reverse('try_fee')}?{urlencode(_found_address(found, count, on), doseq=True)}#h-fee"
    except (CannotPrice, InvalidItem) as wrong:
        context["problem"] = str(wrong)
    return render(request, "billing/renewals/found_fee_panel.html", context)


def _found_address(found: FoundUse, pictures: int, on: date) -> list[tuple[str, Any]]:
    item = queries.use_of_found(found, last_on=on)
    use = {
        "is_own_promotion": False, "use_classes": found.use_classes, "use_media": found.use_media, "use_territories": found.use_territories,
        "use_months": item.months, "exclusivity": "none", "exclusive_months": None, "use_copies": found.use_copies,
    }  # fmt: skip
    known = {
        "found": found.pk,
        "case": Case.FOUND.value,
        "pictures": pictures,
        "use_from": item.use_from.isoformat(),
        "late_factor": 1,
    }
    return [*known.items(), *use_address(use)]


@door(reads=NOBODY, writes=OWNER)
@require_POST
@once
def hand_on_fee(request: HttpRequest) -> HttpResponse:
    """Keep a tried fee and open the form it is for, filled in with it. The address is that of the page it was tried on."""
    on = today(timezone.now())
    form, card = TryFeeForm(request.GET, use_on=on), rates_in_force(on)
    of_licence = row_named(request.GET, "licence", Licence.objects.all())
    found = row_named(request.GET, "found", FoundUse.objects.all())
    try:
        asked = form.asked() if form.is_valid() else None
        tried = try_fee(usage_card(card), asked) if asked else None
    except (CannotPrice, InvalidItem):
        tried = None
    if asked is None or tried is None or str(tried.to_pay) != request.POST.get("fee", ""):
        messages.warning(request, "The fee has changed since you looked. Nothing was taken over; look at it again.")
        return redirect(f"{reverse('try_fee')}?{request.GET.urlencode()}")
    to = _form_for(asked.case, of_licence, found)
    if to is None:
        messages.warning(request, "This fee belongs to no licence. Open it from a licence or from a use found.")
        return redirect(f"{reverse('try_fee')}?{request.GET.urlencode()}")
    actions.hand_on_fee(asked, tried, card, of_licence=of_licence, found=found, at=timezone.now())
    return redirect(f"{to}?{urlencode(_handed(request.GET, asked, tried), doseq=True)}")


def _form_for(case: Case, of_licence: Licence | None, found: FoundUse | None) -> str | None:
    """The address of the form that takes a fee of this case."""
    if case == Case.FOUND:
        return reverse("offer_for_found", args=[found.pk]) if found else None
    if of_licence is None or case == Case.NEW:
        return None
    return reverse("change_licence" if case == Case.CHANGE else "renew_licence", args=[of_licence.pk])


def _handed(typed: QueryDict, asked: Asked, tried: Tried) -> dict[str, Any]:
    """What the form is filled in with: the fee, and the use or the term it was reckoned for."""
    handed: dict[str, Any] = {"fee": f"{tried.to_pay:.2f}"}
    if asked.case == Case.RENEWAL:
        return handed | {"months": asked.more_months or ENDLESS}
    last_day = queries.last_day_of(asked.use.use_from, asked.use.months)
    if asked.case == Case.FOUND:
        return handed | {"last_day": last_day}
    use = {name: typed.getlist(name) for name in typed if name.startswith(("use_", "exclusi"))}
    return use | handed | {"last_day": last_day}
