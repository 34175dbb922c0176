from typing import Any

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from shared.access.doors import NOBODY, STUDIO, door
from shared.access.once import once
from shared.business.queries import today
from shoots.scopes import actions, forms, queries
from shoots.uses.queries import tree_versions
from shoots.uses.shipped import AS_SHIPPED, IN_FORCE
from shoots.uses.stored import MEDIA, TERRITORIES, CodeRefused
from shoots.uses.trees import Tree

CHANGES_SHOWN = 30


@door(reads=STUDIO, writes=NOBODY)
def media_and_places(request: HttpRequest) -> HttpResponse:
    return _page(request)


def _page(request: HttpRequest, *, status: int = 200, **bound: Any) -> HttpResponse:
    context = {
        "media": queries.lines_of(MEDIA, IN_FORCE.media),
        "regions": queries.own_regions(IN_FORCE.territories),
        "countries": sum(code in AS_SHIPPED.territories for code in IN_FORCE.territories.nodes),
        "changes": tree_versions()[:CHANGES_SHOWN],
        "medium": forms.MediumForm(tree=IN_FORCE.media),
        "region": forms.RegionForm(tree=IN_FORCE.territories),
    } | bound
    return render(request, "shoots/scopes/media_and_places.html", context, status=status)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def add_medium(request: HttpRequest) -> HttpResponse:
    form = forms.MediumForm(request.POST, tree=IN_FORCE.media)
    if form.is_valid():
        typed = form.cleaned_data
        try:
            actions.add_medium(
                parent=typed["parent"], names=form.names(), is_own_promotion=typed["is_own_promotion"], **_who(request)
            )
        except CodeRefused as refused:
            form.refuse(refused)
        else:
            messages.success(request, f"{typed['name']} can be chosen from now on.")
            return redirect("media_and_places")
    return _page(request, status=422, medium=form)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
@once
def add_region(request: HttpRequest) -> HttpResponse:
    form = forms.RegionForm(request.POST, tree=IN_FORCE.territories)
    if form.is_valid():
        try:
            typed = form.cleaned_data
            actions.add_region(typed["code"], parent=typed.get("parent", ""), names=form.names(), **_who(request))
        except CodeRefused as refused:
            form.refuse(refused)
        else:
            messages.success(request, f"{form.cleaned_data['name']} can be chosen from now on.")
            return redirect("media_and_places")
    return _page(request, status=422, region=form)


@door(reads=STUDIO, writes=STUDIO)
@once
def rename_code(request: HttpRequest, kind: str, code: str) -> HttpResponse:
    tree = _tree_with(kind, code)
    name = queries.name_of(kind, code)
    form = forms.RenameForm(request.POST or None, names=queries.names_of(kind, code))
    if form.is_valid():
        try:
            actions.rename_code(kind, code, names=form.names(), **_who(request))
        except CodeRefused as refused:
            form.refuse(refused)
        else:
            messages.success(request, f"{name} is called {form.cleaned_data['name']} from now on.")
            return redirect("media_and_places")
    context = {"form": form, "name": name, "code": code, "kind": kind}
    context["may_go"] = code not in _shipped(kind) and not tree.children(code)
    return render(request, "shoots/scopes/rename_code.html", context, status=422 if form.is_bound else 200)


@door(reads=NOBODY, writes=STUDIO)
@require_POST
def remove_code(request: HttpRequest, kind: str, code: str) -> HttpResponse:
    _tree_with(kind, code)
    name = queries.name_of(kind, code)
    try:
        actions.remove_code(kind, code, **_who(request))
    except CodeRefused as refused:
        messages.error(request, str(refused))
    except actions.CodeStays as stays:
        messages.error(request, str(stays))
    else:
        messages.success(request, f"{name} is taken out.")
        return redirect("media_and_places")
    return redirect("rename_code", kind, code)


def _shipped(kind: str) -> Tree:
    return AS_SHIPPED.media if kind == MEDIA else AS_SHIPPED.territories


def _tree_with(kind: str, code: str) -> Tree:
    if kind not in (MEDIA, TERRITORIES):
        raise Http404
    tree = IN_FORCE.media if kind == MEDIA else IN_FORCE.territories
    if code not in tree:
        raise Http404
    return tree


def _who(request: HttpRequest) -> dict[str, Any]:
    now = timezone.now()
    return {"by": str(request.user)[:150], "at": now, "on": today(now)}
