"""The page that says three sentences: what happened, what is kept, what to do next."""

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.template.loader import render_to_string

from shared.errors import Refusal


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


def _way_back(request: HttpRequest) -> str:
    """The page the person came from, when it is one of ours and not this one."""
    came_from = request.headers.get("Referer", "")
    here = f"{request.scheme}://{request.get_host()}"
    path = came_from.removeprefix(here)
    return path if came_from.startswith(here + "/") and path != request.get_full_path() else ""
