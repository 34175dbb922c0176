from typing import Any

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from clients.actions import add_trade
from clients.models import Trade
from clients.trades import TradeRefused
from shared.access.doors import NOBODY, STUDIO, door
from shared.access.once import once
from shared.business.queries import today
from shared.edits import EditedMeanwhile
from shoots.trades import actions, forms, queries


@door(reads=STUDIO, writes=STUDIO)
@once
def trades(request: HttpRequest) -> HttpResponse:
    """The list of trades; a new one is added beside it."""
    form = forms.TradeForm(request.POST or None)
    if form.is_valid():
        try:
            trade = add_trade(form.cleaned_data["name"], names=form.names())
        except TradeRefused as refused:
            form.refuse(refused)
        else:
            messages.success(request, f"{trade} can be chosen from now on.")
            return redirect("trades")
    context = {"rows": queries.trade_rows(), "form": form}
    return render(request, "shoots/trades/trades.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO, writes=STUDIO)
@once
def edit_trade(request: HttpRequest, pk: int) -> HttpResponse:
    trade = get_object_or_404(Trade, pk=pk)
    was = trade.name
    form = forms.RenameForm(request.POST or None, instance=trade)
    if form.is_valid():
        typed = form.cleaned_data
        try:
            actions.rename_trade(
                trade, name=typed["name"], names=form.names(), version=typed["version"], **_who(request)
            )
        except TradeRefused as refused:
            form.refuse(refused)
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            said = f"{was} is called {typed['name']} from now on." if was != typed["name"] else f"{was} is saved."
            messages.success(request, said)
            return redirect("trades")
    uses = queries.uses_by_trade().get(was, queries.Uses())
    context = {"trade": trade, "name": was, "form": form, "join": forms.JoinForm(gone=trade), "uses": uses}
    return render(request, "shoots/trades/edit_trade.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO, writes=STUDIO)
@once
def join_trade(request: HttpRequest, pk: int) -> HttpResponse:
    """Shows what joining would do, and does what was shown."""
    trade = get_object_or_404(Trade, pk=pk)
    form = forms.JoinForm(request.POST or request.GET, gone=trade)
    context: dict[str, Any] = {"trade": trade, "form": form}
    if not form.is_valid():
        return render(request, "shoots/trades/join_trade.html", context, status=422)
    into = form.cleaned_data["into"]
    if request.method == "POST":
        actions.join_trades(trade, into=into, seen=request.POST.get("seen", ""), **_who(request))
        messages.success(request, f"{trade} and {into} are one trade from now on: {into}.")
        return redirect("trades")
    context |= {"into": into, "preview": queries.join_preview(trade, into, today(timezone.now()))}
    return render(request, "shoots/trades/join_trade.html", context)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_trade(request: HttpRequest, pk: int) -> HttpResponse:
    trade = get_object_or_404(Trade, pk=pk)
    try:
        actions.remove_trade(trade, **_who(request))
    except actions.TradeStays as stays:
        messages.error(request, str(stays))
        return redirect("edit_trade", pk)
    messages.success(request, f"{trade} is taken out.")
    return redirect("trades")


def _who(request: HttpRequest) -> dict[str, Any]:
    return {"by": str(request.user)[:150], "at": timezone.now()}
