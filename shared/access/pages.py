"""The page that says three sentences: what happened, what is kept, what to do next."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.template.loader import render_to_string

from shared.access.forms import SignInForm
from shared.errors import Refusal

CSRF_FIELD = "csrfmiddlewaretoken"


def sentences_page(request: HttpRequest, refusal: Refusal) -> HttpResponse:
    """The refusal as a page in the frame that fits who asks, or as a note where htmx or the uploader asked."""
    if "application/json" in request.headers.get("Accept", ""):
        return JsonResponse({"say": str(refusal)}, status=refusal.status)
    context = {"refusal": refusal, "base_template": "letter.html", "back": _way_back(request)}
    if request.headers.get("HX-Request") == "true":
        # The page's htmx swaps 422, so the sentences appear where the answer was expected.
        return HttpResponse(render_to_string("parts/refused.html", context, request), status=422)
    door = getattr(request, "door", None)
    user = getattr(request, "user", None)
    if user is not None and user.is_authenticated and (door is None or door.kind != "link"):
        context["base_template"] = "base.html"
    return HttpResponse(render_to_string("refusal.html", context, request), status=refusal.status)


def signed_out_page(request: HttpRequest) -> HttpResponse:
    """Asks somebody who was signed out in the middle of a form to sign in, and carries along what they typed.

    Only a form of ours comes here: the check against forged forms was before. Chosen files cannot be carried.
    """
    typed = [(name, value) for name, values in request.POST.lists() for value in values if name != CSRF_FIELD]
    context = {"form": SignInForm(), "has_owner": True, "kept": typed, "kept_for": request.get_full_path()}
    response = render(request, "shared/access/sign_in.html", context | {"had_files": bool(request.FILES)}, status=401)
    if request.headers.get("HX-Request") == "true":  # a part of a page asked; the whole page answers
        response.status_code = 422
        response["HX-Retarget"], response["HX-Reswap"] = "body", "innerHTML"
    return response


def _way_back(request: HttpRequest) -> str:
    """The page the person came from, when it is one of ours and not this one."""
    came_from = request.headers.get("Referer", "")
    here = f"{request.scheme}://{request.get_host()}"
    path = came_from.removeprefix(here)
    return path if came_from.startswith(here + "/") and path != request.get_full_path() else ""
