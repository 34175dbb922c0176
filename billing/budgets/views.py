from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from billing.budgets.forms import BudgetForm
from billing.budgets.queries import Fit, Fits, margins_of, what_fits
from billing.estimates.actions import add_changed_option
from billing.estimates.models import Estimate, EstimateState
from billing.estimates.queries import estimate_in_full, with_tax_of
from billing.estimates.snapshot import accepted_from_json
from billing.estimates.wording import option_title
from shared.access.doors import OWNER, STUDIO, door
from shared.access.once import once
from shared.business.queries import business_or_none, today
from shared.errors import Refusal


@door(reads=STUDIO, writes=STUDIO)
@once
def estimate_budget(request: HttpRequest, pk: int) -> HttpResponse:
    """What of a draft fits the client's budget; a press makes it an option beside the others."""
    if get_object_or_404(Estimate, pk=pk).state != EstimateState.DRAFT:
        return redirect("estimate", pk=pk)
    row = estimate_in_full(pk)
    business = business_or_none(timezone.now())
    if business is not None:
        row = with_tax_of(business, row)
    options = {option.letter: option for option in row.options.all()}
    typed = request.POST if request.method == "POST" else request.GET if "budget" in request.GET else None
    form = BudgetForm(
        typed, letters=list(options), currency=row.currency, initial={"option": request.GET.get("option", "A")}
    )
    context = {"estimate": row, "form": form, "fits": None}
    if typed is not None and form.is_valid():
        option = options[form.cleaned_data["option"]]
        fits = what_fits(row, option, form.cleaned_data["budget"])
        context |= {"option": option, "fits": fits, "budget": form.cleaned_data["budget"], "is_full": len(options) == 3}
        taken = _taken(fits, request.POST.get("take", ""))
        if taken is not None:
            title = option_title(taken.ask.pictures, row.language)
            try:
                made = add_changed_option(row, copied_from=option.letter, title=title, changes=taken.changes)
            except Refusal as refusal:
                form.say(refusal)
            else:
                messages.info(request, f"Option {made.letter} is added to the draft.")
                return redirect(f"{reverse('estimate', args=[pk])}#option-{made.letter}")
    return render(request, "billing/budgets/budget.html", context, status=422 if form.errors else 200)


def _taken(fits: Fits, name: str) -> Fit | None:
    if name == "pictures":
        return fits.pictures
    return fits.uses[int(name)] if name.isdecimal() and int(name) < len(fits.uses) else None


@door(reads=OWNER)
def estimate_margin_panel(request: HttpRequest, pk: int) -> HttpResponse:
    """What is left of each option; for the owner only, and on no paper."""
    get_object_or_404(Estimate, pk=pk)
    row, at = estimate_in_full(pk), timezone.now()
    business = business_or_none(at)
    if row.state == EstimateState.DRAFT and business is not None:
        row = with_tax_of(business, row)
    accepted = accepted_from_json(row.accepted_snapshot) if row.accepted_snapshot else None
    rate, margins = margins_of(row, accepted, today(at))
    return render(request, "billing/budgets/margin_panel.html", {"estimate": row, "rate": rate, "margins": margins})
