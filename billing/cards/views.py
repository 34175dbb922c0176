from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from billing.cards import actions
from billing.cards.card_file import CardFile, InvalidCardFile
from billing.cards.forms import CardFileForm, TakeForm, TryFeeForm, further_forms, uses_asked, with_other_uses
from billing.cards.queries import (
    card_to_export,
    file_of,
    problems_in_words,
    read_file,
    versions,
    what_import_does,
    where_it_goes,
)
from billing.cards.trying import try_fee as tried_fee
from billing.rates.fees import MOST_ITEMS, CannotPrice, InvalidItem
from billing.rates.models import RateCard
from billing.rates.queries import rates_in_force, usage_card, usage_kept, usage_money
from shared.access.doors import OWNER, door
from shared.access.once import once
from shared.business.queries import today
from shared.errors import Refusal


@door(reads=OWNER)
def rate_history(request: HttpRequest) -> HttpResponse:
    """All rate cards with what each changed."""
    on = today(timezone.now())
    found = versions()
    begun = [each for each in found if each.card.valid_from <= on]
    in_use = begun[0] if begun else found[-1] if found else None
    return render(request, "billing/cards/history.html", {"versions": found, "in_use": in_use, "today": on})


@door(reads=OWNER)
def export_rates(request: HttpRequest) -> HttpResponse:
    """A rate card as a file: that of the number asked for, else the one in use."""
    key = request.GET.get("card", "")
    try:
        card = card_to_export(int(key) if key.isdecimal() and len(key) < 10 else None, today(timezone.now()))
    except RateCard.DoesNotExist as missing:
        raise Http404 from missing
    headers = {"Content-Disposition": f'attachment; filename="rates-{card.valid_from.isoformat()}.json"'}
    return HttpResponse(file_of(card), content_type="application/json", headers=headers)


@door(reads=OWNER, writes=OWNER)
@once
def import_rates(request: HttpRequest) -> HttpResponse:
    """A file with rates is looked at first: what would change, side by side. A press then takes it wholly."""
    if request.method != "POST":
        return render(request, "billing/cards/import.html", {"form": CardFileForm()})
    if "text" not in request.POST:
        return _looked_at(request)
    form = TakeForm(request.POST)
    if not form.is_valid():
        return _preview(request, form, request.POST.get("text", ""), status=422)
    typed = form.cleaned_data
    if "look" in request.POST:
        return _preview(request, form, typed["text"])
    try:
        card = actions.import_rates(typed["text"].encode(), valid_from=typed["valid_from"], seen=typed["seen"])
    except InvalidCardFile as wrong:
        return _refused(request, wrong)
    except Refusal as refusal:
        form.say(refusal)
        return _preview(request, form, typed["text"], status=422)
    messages.info(
        request,
        f"Rates from {card.valid_from:%-d %b %Y} are taken from the file. Estimates drafted before keep theirs.",
    )
    return redirect("rates")


def _looked_at(request: HttpRequest) -> HttpResponse:
    form = CardFileForm(request.POST, request.FILES)
    if not form.is_valid():
        return render(request, "billing/cards/import.html", {"form": form}, status=422)
    try:
        content = form.content()
        found = read_file(content)
    except InvalidCardFile as wrong:
        return _refused(request, wrong)
    take = TakeForm(initial={"valid_from": found.valid_from, "text": content.decode("utf-8-sig")})
    return _preview(request, take, content.decode("utf-8-sig"), found=found)


def _preview(
    request: HttpRequest, form: TakeForm, text: str, *, found: CardFile | None = None, status: int = 200
) -> HttpResponse:
    """What taking would change from the day that is typed, or the file's own day while that is none."""
    try:
        file = found or read_file(text.encode())
    except InvalidCardFile as wrong:
        return _refused(request, wrong)
    day = form.cleaned_data.get("valid_from", file.valid_from) if form.is_bound else file.valid_from
    would = what_import_does(file, day)
    if form.is_bound:
        form.shown_again(seen=would.seen)
    else:
        form.initial["seen"] = would.seen
    context: dict[str, Any] = {"form": form, "would": would, "day": day}
    return render(request, "billing/cards/import_preview.html", context, status=status)


def _refused(request: HttpRequest, wrong: InvalidCardFile) -> HttpResponse:
    context = {"form": CardFileForm(), "problems": problems_in_words(wrong.problems)}
    return render(request, "billing/cards/import.html", context, status=422)


@door(reads=OWNER)
def try_fee(request: HttpRequest) -> HttpResponse:
    """One to six uses priced by the fees of the day; nothing is kept before it is handed on to the licence the page was opened from."""
    if "do" in request.GET:
        other = with_other_uses(request.GET, request.GET["do"])
        return redirect(f"{reverse('try_fee')}?{other.urlencode()}#use-{uses_asked(other)}")
    on = today(timezone.now())
    card = rates_in_force(on)
    form = TryFeeForm(request.GET if "pictures" in request.GET else None, use_on=on, initial={"use_from": on})
    further = further_forms(request.GET, on=on)
    tried = None
    if form.is_bound and all([form.is_valid(), *(each.is_valid() for each in further)]):
        try:
            tried = tried_fee(usage_card(card), form.asked(further))
        except (CannotPrice, InvalidItem) as wrong:
            form.say_unpriced(wrong)
    context = {"form": form, "card": card, "tried": tried, "typed": form.cleaned_data if tried else None}
    context |= {"further": further, "uses": len(further) + 1, "is_full": len(further) + 1 == MOST_ITEMS}
    context["hand_on"] = tried and not further and where_it_goes(form.cleaned_data)
    context["is_starting"] = usage_kept(card) == usage_kept(None)
    context |= {name: usage_money(card)[name] for name in ("handling", "step")}
    is_wrong = form.errors or any(each.errors for each in further)
    return render(request, "billing/cards/try_fee.html", context, status=422 if is_wrong else 200)
