"""Figures, days and parts of a page as the templates write them."""

from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from django.template import Context, Template, TemplateSyntaxError
from django.utils import timezone, translation

from shared.words.chart import Bar, Lane, TermChart
from shared.words.formats import plain_spaces


def written(text, **context):
    return plain_spaces(Template("{% load plate %}" + text).render(Context(context)))


@pytest.mark.parametrize(
    ("text", "value", "english", "german"),
    [
        ("{{ v|money:'EUR' }}", Decimal("2539.84"), "€2,539.84", "2.539,84 €"),
        ("{{ v|amount }}", Decimal("-1015.94"), "−1,015.94", "−1.015,94"),
        ("{{ v|percent }}", Decimal(19), "19%", "19 %"),
        ("{{ v|quantity }}", Decimal("3.7500"), "3.75", "3,75"),
        ("{{ v|quantity:'picture' }}", Decimal(9), "9 pictures", "9 Bilder"),
        ("{{ v|day }}", date(2026, 11, 14), "14 Nov 2026", "14. Nov. 2026"),
        ("{{ v|short_day }}", date(2026, 11, 14), "14 Nov", "14. Nov."),
        ("{{ v|long_day }}", date(2026, 11, 14), "Saturday 14 November 2026", "Samstag, 14. November 2026"),
        ("{% rate v 'EUR' 'hour' %}", Decimal(65), "€65.00 an hour", "65,00 € je Stunde"),
    ],
)
def test_figures_and_days_follow_the_language_of_the_page(text, value, english, german):
    assert written(text, v=value) == english
    with translation.override("de"):
        assert written(text, v=value) == german


def test_nothing_is_written_for_what_is_not_there():
    assert (
        written(
            "{{ v|money }}{{ v|amount }}{{ v|percent }}{{ v|quantity }}{{ v|day }}{{ v|moment }}{{ v|clock }}", v=None
        )
        == ""
    )


def test_a_moment_is_written_in_the_active_zone():
    at = datetime(2026, 11, 14, 8, 30, tzinfo=UTC)
    with timezone.override("Europe/Berlin"):
        assert written("{{ v|moment }}, {{ v|clock }}, {{ v|day }}", v=at) == "14 Nov 2026, 09:30, 09:30, 14 Nov 2026"


@pytest.mark.parametrize(
    ("due", "words"), [(20, "in 8 days"), (13, "tomorrow"), (12, "today"), (11, "1 day late"), (4, "8 days late")]
)
def test_a_due_day_says_how_far_it_is(due, words):
    assert written("{{ v|from_now:today }}", v=date(2026, 11, due), today=date(2026, 11, 12)) == words


def test_a_state_is_an_icon_and_a_word():
    assert (
        written("{% state 'done' 'Signed 14 Nov' %}")
        == '<span class="st done"><i class="i i-check" aria-hidden="true"></i>Signed 14 Nov</span>'
    )
    assert 'class="st look"><i class="i i-pen"' in written("{% state 'look' 'Not signed' icon='pen' %}")
    assert written("{% state 'plain' words %}", words="<b>") == '<span class="st">&lt;b&gt;</span>'


@pytest.mark.parametrize(
    ("word", "look"),
    [
        ("Signed 14 Nov", "st done"),
        ("Late", "st look"),
        ("held back", "st look"),
        ("Draft", "st wait"),
        ("Sent", "st wait"),
        ("Superseded", "st"),
    ],
)
def test_the_word_of_a_state_decides_its_look(word, look):
    assert f'class="{look}"' in written("{% state_word word %}", word=word)


def test_an_unknown_icon_or_state_is_a_mistake_of_the_template():
    with pytest.raises(TemplateSyntaxError, match="no icon"):
        written("{% icon 'star' %}")
    with pytest.raises(TemplateSyntaxError, match="no state"):
        written("{% state 'good' 'x' %}")


def test_each_form_gets_its_own_one_time_key():
    first, second = written("{% once %}"), written("{% once %}")
    assert first != second
    assert first.startswith('<input type="hidden" name="once" value="')


def test_a_table_keeps_its_roles_when_a_phone_makes_blocks_of_it():
    html = written(
        '{% roles %}<table class="tbl"><thead><tr><th scope="col">Due</th></tr></thead><tbody><tr><th scope="row">A</th><td class="num">{{ v }}</td></tr></tbody></table>{% endroles %}',
        v="<td>",
    )
    assert html == (
        '<table role="table" class="tbl"><thead role="rowgroup"><tr role="row"><th role="columnheader" scope="col">Due</th></tr></thead>'
        '<tbody role="rowgroup"><tr role="row"><th role="rowheader" scope="row">A</th><td role="cell" class="num">&lt;td&gt;</td></tr></tbody></table>'
    )


def test_pictures_stand_in_rows_and_frames():
    assert written("{% thumb '/p/1' 'Bean stew, drawn' %}").startswith(
        '<img class="thumb" src="/p/1" alt="Bean stew, drawn"'
    )
    assert "<figcaption><span>WL-1126-014</span><span>drawn</span>" in written(
        "{% frame '/p/1' 'Bean stew' 'WL-1126-014' note='drawn' link='/x' shape='whole' %}"
    )


def test_a_chart_of_terms_is_drawn_by_attributes_alone():
    lane = Lane(
        "Website",
        "Worldwide",
        (
            Bar("granted", date(2026, 7, 1), date(2026, 11, 30), "Until 30 Nov 2026"),
            Bar("free", date(2026, 12, 1), None, "Free from 1 Dec", "/estimates/new"),
        ),
    )
    html = written(
        "{% term_chart chart %}{% key_of_terms %}",
        chart=TermChart("Uses. A table says the same.", date(2026, 7, 1), date(2026, 11, 12), (lane,)),
    )
    assert "style=" not in html
    assert '<a href="/estimates/new"><svg class="term free"' in html
    assert "Until 30 Nov 2026" in html
    assert 'class="today"' in html
