from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door
from shared.access.once import once
from shared.business.queries import today
from shared.edits import EditedMeanwhile
from shoots.brief.models import Dish, Shoot
from shoots.plan.models import Moment
from shoots.shopping import actions, forms, queries, tables
from shoots.shopping.models import Prop, Purchase
from shoots.shopping.papers import CAUTION, props_pdf, shopping_pdf

LANGUAGES = ("en", "de")


# Portions and takes


@door(reads=STUDIO)
def shoot_shopping(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shopping = _shopping(shoot_pk)
    return render(
        request,
        "shoots/shopping/shoot_shopping.html",
        {"shoot": shopping.shoot, "shopping": shopping, "caution": CAUTION},
    )


@door(reads=STUDIO)
def shoot_shopping_panel(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shopping = _shopping(shoot_pk)
    return render(request, "shoots/shopping/shoot_shopping_panel.html", {"shoot": shopping.shoot, "shopping": shopping})


@door(reads=STUDIO, writes=STUDIO)
def write_shopping(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    """One press writes all that nobody typed by hand; what somebody did is shown with both texts, to be ticked."""
    shopping = _shopping(shoot_pk)
    if request.method == "POST":
        form = forms.OverForm(request.POST, keys=[each.key for each in shopping.writings])
        over = form.cleaned_data["over"] if form.is_valid() else []
        written, stay = actions.write_shopping(shopping.shoot, over=over)
        if stay and not over and "chosen" not in request.POST:
            if written:
                messages.success(request, f"{_things(written, 'text')} written. What was typed by hand is left to you.")
            return redirect("write_shopping", shoot_pk)
        messages.success(request, _written(written, len(stay)))
        return redirect("shoot_shopping", shoot_pk)
    by_hand = [each for each in shopping.writings if each.is_by_hand]
    context = {"shoot": shopping.shoot, "by_hand": by_hand, "free": len(shopping.writings) - len(by_hand)}
    return render(request, "shoots/shopping/write_shopping.html", context)


@door(reads=STUDIO, writes=STUDIO)
def edit_dish_shopping(request: HttpRequest, pk: int) -> HttpResponse:
    dish, need = _need(get_object_or_404(Dish, pk=pk))
    yields = dish.recipe.yields if need.has_recipe else ""
    form = forms.DishShoppingForm(
        request.POST or None, instance=need.plan, says=need.says, yields=yields, cooked=need.listed.portions.total
    )
    if form.is_valid():
        try:
            actions.set_dish_shopping(dish, values=form.typed_values(), version=form.cleaned_data["version"])
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"Saved. {dish} is reckoned anew.")
            return redirect("shoot_shopping", dish.shoot_id)
    context = {"dish": dish, "shoot": dish.shoot, "need": need, "form": form, "caution": CAUTION}
    return render(request, "shoots/shopping/edit_dish_shopping.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO, writes=STUDIO)
def edit_takes(request: HttpRequest, pk: int) -> HttpResponse:
    moment = get_object_or_404(Moment.objects.select_related("dish", "step"), pk=pk)
    dish, need = _need(moment.dish)
    found = next((each for each in need.moments if each.moment.pk == pk), None)
    if found is None:
        raise Http404("No shot of the list shows this moment.")
    lines = queries.lines_of(dish)
    form = forms.TakesForm(request.POST or None, instance=queries.takes_of(found.moment), need=found, lines=lines)
    if form.is_valid():
        try:
            actions.set_takes(
                moment, values=form.typed_values(), tries=form.tries(), version=form.cleaned_data["version"]
            )
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"Saved. {dish} is reckoned anew.")
            return redirect("shoot_shopping", dish.shoot_id)
    context = {"dish": dish, "shoot": dish.shoot, "moment": moment, "need": found, "form": form}
    return render(request, "shoots/shopping/edit_takes.html", context, status=422 if form.is_bound else 200)


# The buying list


@door(reads=STUDIO, writes=STUDIO)
def buying_list(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shopping = _shopping(shoot_pk)
    lines = forms.purchase_forms(shopping, request.POST if request.method == "POST" else None)
    typed = [form for form in lines if form.is_bound]
    if request.method == "POST" and not [form for form in typed if not form.is_valid()]:
        changes = {form.to_buy.key: form.changes() for form in typed}
        changed = actions.change_purchases(shopping.shoot, changes=changes, at=timezone.now(), by=_me(request))
        messages.success(request, f"{_things(changed, 'line')} saved." if changed else "Nothing was changed.")
        return redirect("buying_list", shoot_pk)
    return _show_list(
        request, shopping, lines, forms.AddPurchasesForm(), status=422 if request.method == "POST" else 200
    )


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def add_purchases(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shopping = _shopping(shoot_pk)
    form = forms.AddPurchasesForm(request.POST)
    if form.is_valid():
        try:
            actions.add_purchases(shopping.shoot, words=form.cleaned_data["words"])
        except actions.ListTooLong as refusal:
            form.say(refusal)
        else:
            return redirect("buying_list", shoot_pk)
    return _show_list(request, shopping, forms.purchase_forms(shopping), form, status=422)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_purchase(request: HttpRequest, shoot_pk: int, pk: int) -> HttpResponse:
    purchase = get_object_or_404(Purchase, pk=pk, shoot_id=shoot_pk)
    actions.remove_purchase(purchase)
    messages.success(request, f"“{purchase.words or purchase.key.partition('|')[0]}” is off the list.")
    return redirect("buying_list", shoot_pk)


def _show_list(
    request: HttpRequest, shopping: queries.Shopping, lines: list[forms.PurchaseForm], add_form: Any, *, status: int
) -> HttpResponse:
    context = {
        "shoot": shopping.shoot,
        "shopping": shopping,
        "lines": lines,
        "wrong": [form for form in lines if form.is_bound and not form.is_valid()],
        "add_form": add_form,
    }
    return render(request, "shoots/shopping/buying_list.html", context, status=status)


@door(reads=STUDIO)
def shopping_paper(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    language = _language(request)
    shopping = _shopping(shoot_pk)
    printed = shopping_pdf(queries.shopping_sheet_of(shopping, language=language, at=timezone.now()))
    return _file(printed, "application/pdf", f'inline; filename="shopping-{shoot_pk}.pdf"')


@door(reads=STUDIO)
def shopping_csv(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shopping = _shopping(shoot_pk)
    sheet = queries.shopping_sheet_of(shopping, language=_language(request), at=timezone.now())
    return _file(
        tables.shopping_table(sheet), "text/csv; charset=utf-8", f'attachment; filename="shopping-{shoot_pk}.csv"'
    )


# Props


@door(reads=STUDIO, writes=STUDIO)
@once
def shoot_props(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    shoot = _shoot(shoot_pk)
    form = forms.PropForm(request.POST or None, instance=Prop(shoot=shoot), shoot=shoot, is_new=True)
    if form.is_valid():
        try:
            prop = actions.add_prop(shoot, dishes=form.dishes_ticked(), **form.typed_values())
        except actions.ListTooLong as refusal:
            form.add_error(None, str(refusal))
        else:
            messages.success(request, f"“{prop}” is on the list.")
            return redirect("shoot_props", shoot_pk)
    context = {
        "shoot": shoot,
        "props": shoot.props.all(),
        "suggested": queries.props_suggested(shoot),
        "out": sum(prop.still_out for prop in shoot.props.all()),
        "is_counted": any(prop.counted_out is not None for prop in shoot.props.all()),
        "form": form,
        "on": today(timezone.now()),
    }
    return render(request, "shoots/shopping/shoot_props.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def make_props(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    made = actions.make_props(get_object_or_404(Shoot, pk=shoot_pk))
    messages.success(
        request,
        f"{_things(len(made), 'prop')} put on the list. Say where each comes from."
        if made
        else "Every prop the shots name is on the list.",
    )
    return redirect("shoot_props", shoot_pk)


@door(reads=STUDIO, writes=STUDIO)
def edit_prop(request: HttpRequest, pk: int) -> HttpResponse:
    prop = get_object_or_404(Prop.objects.select_related("shoot"), pk=pk)
    form = forms.PropForm(request.POST or None, instance=prop, shoot=prop.shoot)
    if form.is_valid():
        try:
            actions.change_prop(
                prop,
                fields=list(form.typed_values()),
                version=form.cleaned_data["version"],
                dishes=form.dishes_ticked(),
            )
        except EditedMeanwhile as refusal:
            form.say(refusal)
        else:
            messages.success(request, f"“{prop}” is saved.")
            return redirect("shoot_props", prop.shoot_id)
    context = {"prop": prop, "shoot": prop.shoot, "form": form}
    return render(request, "shoots/shopping/edit_prop.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_prop(request: HttpRequest, pk: int) -> HttpResponse:
    prop = get_object_or_404(Prop, pk=pk)
    actions.remove_prop(prop)
    messages.success(request, f"“{prop}” is off the list.")
    return redirect("shoot_props", prop.shoot_id)


@door(reads=STUDIO, writes=STUDIO)
def count_props_out(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    return _count(request, shoot_pk, actions.OUT)


@door(reads=STUDIO, writes=STUDIO)
def count_props_back(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    return _count(request, shoot_pk, actions.BACK)


def _count(request: HttpRequest, shoot_pk: int, way: str) -> HttpResponse:
    shoot = _shoot(shoot_pk)
    props = list(shoot.props.all())
    form = forms.CountForm(request.POST or None, props=props, way=way, initial={"name": _me(request)})
    if form.is_valid():
        actions.count_props(
            shoot, way=way, counts=form.counts(), damages=form.damages(), name=form.cleaned_data["name"], at=timezone.now()
        )  # fmt: skip
        out = sum(prop.still_out for prop in Prop.objects.filter(shoot=shoot))
        messages.success(request, _counted(way, out))
        return redirect("shoot_props", shoot_pk)
    context = {"shoot": shoot, "form": form, "rows": form.rows(), "way": way}
    return render(request, "shoots/shopping/count_props.html", context, status=422 if form.is_bound else 200)


@door(reads=STUDIO)
def props_paper(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    sheet = queries.prop_sheet_of(_shoot(shoot_pk), language=_language(request), at=timezone.now())
    return _file(props_pdf(sheet), "application/pdf", f'inline; filename="props-{shoot_pk}.pdf"')


@door(reads=STUDIO)
def props_csv(request: HttpRequest, shoot_pk: int) -> HttpResponse:
    sheet = queries.prop_sheet_of(_shoot(shoot_pk), language=_language(request), at=timezone.now())
    return _file(tables.prop_table(sheet), "text/csv; charset=utf-8", f'attachment; filename="props-{shoot_pk}.csv"')


def _shoot(pk: int) -> Shoot:
    return get_object_or_404(queries.shoot_for_shopping(pk))


def _shopping(pk: int) -> queries.Shopping:
    return queries.shopping_of(_shoot(pk))


def _need(dish: Dish) -> tuple[Dish, queries.DishNeed]:
    shoot = _shoot(dish.shoot_id)
    found = next(each for each in queries.needs_of(shoot) if each.dish.pk == dish.pk)
    found.dish.shoot = shoot
    return found.dish, found


def _language(request: HttpRequest) -> str:
    wanted = request.GET.get("language", "")
    return wanted if wanted in LANGUAGES else "en"


def _me(request: HttpRequest) -> str:
    return str(request.user.get_full_name() or request.user.get_username())  # type: ignore[union-attr]


def _file(content: bytes | str, kind: str, disposition: str) -> HttpResponse:
    return HttpResponse(content, content_type=kind, headers={"Content-Disposition": disposition})


def _things(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'} {'is' if count == 1 else 'are'}"


def _written(written: int, stay: int) -> str:
    words = (
        f"{_things(written, 'text')} written. Brief, shot list and cook’s sheet show them."
        if written
        else "Nothing new was written."
    )
    return f"{words} {_things(stay, 'text')} left as typed by hand." if stay else words


def _counted(way: str, out: int) -> str:
    if way == actions.OUT:
        return f"Counted out: {out} on the set."
    return f"Counted back. {_things(out, 'piece')} still out." if out else "Counted back. Nothing is out any more."
