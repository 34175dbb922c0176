from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone

from shared.access.doors import STUDIO, door
from shared.business.queries import today
from shared.tables import table_text
from shoots.asking import queries
from shoots.asking.addresses import read_supposed
from shoots.asking.forms import AnswerFilter, AskForm
from shoots.licences.queries import home_country
from shoots.uses.days import last_day


def _asked(request: HttpRequest) -> AskForm:
    """Bound once the page's own button, or a link of a change, asks; before, filled in with what the address hands in."""
    on, query = today(timezone.now()), request.GET
    is_asking = "use_kind" in query
    start = {"first_day": on, **{name: query.get(name, "") for name in ("text", "shoot", "client") if name in query}}
    return AskForm(
        query if is_asking else None,
        handed_in=query.getlist("pictures"),
        initial=start,
        use={"use_territories": [home_country(on)]},
        use_on=on,
    )


def _question(form: AskForm, request: HttpRequest) -> queries.Question:
    typed = form.cleaned_data
    if form.asked is None:
        raise ValueError("The form has mistakes.")
    return queries.Question(
        form.asked,
        form.use_values(),
        typed["client"],
        typed["trade"],
        bool(typed["last_day"]),
        read_supposed(request.GET.getlist("suppose")),
        "new_trade" if typed["new_trade"] else "trade",
    )


def _wanted(request: HttpRequest, rows: list[queries.Row]) -> tuple[str, list[queries.Row]]:
    form = AnswerFilter(request.GET)
    wanted = form.cleaned_data["answer"] if form.is_valid() else ""
    return wanted, [row for row in rows if wanted in ("", row.answer)]


@door(reads=STUDIO)
def can_i_sell(request: HttpRequest) -> HttpResponse:
    form = _asked(request)
    context: dict[str, Any] = {"form": form, "handed_in": form.handed_in}
    if not form.is_bound:
        return render(request, "shoots/asking/can_i_sell.html", context)
    if not form.is_valid():
        return render(request, "shoots/asking/can_i_sell.html", context, status=422)
    question = _question(form, request)
    found = queries.answers_to(question, form.pictures)
    wanted, shown = _wanted(request, found["rows"])
    keys = [picture.pk for picture in form.pictures]
    address = question.link(keys)
    context |= {
        **found,
        "sentence": question.sentence(),
        "asked": question.asked,
        "last_day": last_day(question.asked.until) if question.asked.until else None,
        "shown": shown,
        "answer": wanted,
        "address": address,
        "table_query": address.partition("?")[2],
        "pairs": [pair for pair in question.pairs([]) if pair[0] != "pictures"],
        "grants": queries.grants_offered(question, shown),
        "handed_in": [str(key) for key in form.keys],
        "tabs": [
            ("", "All", len(keys)),
            ("yes", "Yes", found["counts"]["yes"]),
            ("not_yet", "Not yet", found["counts"]["not_yet"]),
            ("no", "No", found["counts"]["no"]),
        ],
    }
    return render(request, "shoots/asking/can_i_sell.html", context)


@door(reads=STUDIO)
def can_i_sell_table(request: HttpRequest) -> HttpResponse:
    """The answers as a table for a spreadsheet; the page itself where the question has a mistake."""
    form = _asked(request)
    if not form.is_valid():
        context = {"form": form, "handed_in": form.handed_in}
        return render(request, "shoots/asking/can_i_sell.html", context, status=422)
    _answer, rows = _wanted(request, queries.answers_to(_question(form, request), form.pictures)["rows"])
    return HttpResponse(
        table_text(queries.TABLE_COLUMNS, queries.table_rows(rows)),
        content_type="text/csv; charset=utf-8",
        headers={"Content-Disposition": 'attachment; filename="can-i-sell.csv"'},
    )
