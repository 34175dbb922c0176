from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.db import transaction
from django.db.models import F

from billing.estimates.adding_up import LARGEST_SUM, SumTooLarge, sums_with
from billing.estimates.models import Estimate, EstimateLine, EstimateOption, EstimateState, LineKind, OptionItem
from billing.estimates.queries import (
    card_of,
    draft_lines,
    drafted_words,
    estimate_in_full,
    finishing_counts,
    finishing_lines,
    items_of,
    licence_line,
    opening_of,
    optional_items_of,
    optional_line,
    price_fields,
    repriced,
    size_asked,
    tax_of,
    wider_place,
    wider_uses,
    with_tax_of,
)
from billing.estimates.repricing import Price, own_price
from billing.estimates.sizes import Size, larger, smaller
from billing.estimates.terms import valid_until
from billing.estimates.wording import option_title, size_in_words, size_title
from billing.rates.fees import MOST_ITEMS
from billing.rates.models import RateCard
from billing.rates.queries import frozen_card, rates_in_force
from shared.business.queries import current_business, today
from shared.edits import save_edit
from shared.errors import Refusal
from shared.numbers.actions import take_number
from shared.papers.kept import digest_of
from shoots.brief.actions import lock_shoots
from shoots.brief.models import USE_FIELDS, AgreedPicture, Shoot
from shoots.uses.intended import is_own_promotion
from shoots.uses.shipped import IN_FORCE

LETTERS = ("A", "B", "C")
COPIED = (
    "language", "currency", "opening", "promise", "tolerance_percent", "deposit_percent", "deposit_days", "rounds_included", "further_round_rate",
    "overtime_rate", "hours_in_day", "day_rate", "cancellation_free_days", "cancellation_percent", "cancellation_day_percent",
    "is_weather_free_once", "begins", "begins_on", "lapse_days", "billable_when", "portfolio_from", "further_terms", "card", "card_sha256",
    "currency_rate", "currency_rate_on", "currency_rate_source", "own_terms",
)  # fmt: skip
OPTION_FIELDS = ("title", "summary", "pictures_count", "discount_percent", "discount_reason", *USE_FIELDS)
TAX_FIELDS = ("tax_category", "tax_percent", "tax_reason")
LINE_FIELDS = (
    "kind", "what", "working", "quantity", "unit", "unit_price", "own_price", "markup_percent", "is_at_most", "is_at_cost", "is_disbursement",
    "is_optional", "figures", "finishing",
)  # fmt: skip


class EstimateNotDraft(Refusal):
    """What was sent is not edited; a new version is made instead."""

    def __init__(self, estimate: Estimate) -> None:
        self.estimate = estimate
        super().__init__(
            f"{estimate} is {estimate.get_state_display().lower()} and can no longer be edited.",
            "It stays as it was sent.",
            "Make a new version of it to change something.",
        )


class ThreeOptionsAtMost(Refusal):
    """An estimate has one to three options."""

    def __init__(self) -> None:
        super().__init__(
            "An estimate has three options at most.", "Nothing was changed.", "Remove an option first, or change one."
        )


class LastOption(Refusal):
    """The only option cannot be removed."""

    def __init__(self) -> None:
        super().__init__(
            "This is the only option.", "Nothing was changed.", "Discard the estimate if it is no longer needed."
        )


class SixUsesAtMost(Refusal):
    """A licence fee is reckoned from one to six uses."""

    status = 422

    def __init__(self) -> None:
        super().__init__(
            f"An option has {MOST_ITEMS} uses at most.",
            "Nothing was changed.",
            "Put uses with the same term together, or remove one first.",
        )


class OneOptionalUse(Refusal):
    """What a second optional use adds would depend on whether the first is taken, so no fixed price of it is right."""

    status = 422

    def __init__(self) -> None:
        super().__init__(
            "An option has one use at most that the client may add.",
            "Nothing was changed.",
            "Put both uses into one, or add the second to another option.",
        )


class UseGone(Refusal):
    """The use to change was taken off meanwhile."""

    status = 422

    def __init__(self) -> None:
        super().__init__(
            "This use was taken off meanwhile.", "What you typed is kept below.", "Add it as a use of its own."
        )


@dataclass(frozen=True, slots=True)
class OptionEdit:
    """What was typed for one option: the row with its new values, pictures, lines in order, lines to remove."""

    option: EstimateOption
    pictures: Sequence[AgreedPicture]
    lines: Sequence[EstimateLine]
    removed: Sequence[int] = field(default=())


@transaction.atomic
def draft_estimate(shoot: Shoot, *, at: datetime) -> Estimate:
    """A draft with option A: its lines from the rate card, the shoot's days, pictures, kitchen and intended use, each with its working."""
    card = rates_in_force(today(at))
    estimate = _new_draft(shoot, card, at=at)
    wanted = _pictures_wanted(shoot)
    count = len(wanted) or 1
    option = EstimateOption.objects.create(
        estimate=estimate,
        letter="A",
        title=option_title(count, estimate.language),
        pictures_count=count,
        **{name: getattr(shoot, name) for name in USE_FIELDS},
    )
    option.pictures.set(wanted)
    _write_lines(option, draft_lines(shoot, option, card, estimate.language))
    return estimate


@transaction.atomic
def draft_three_options(shoot: Shoot, *, at: datetime) -> Estimate:
    """A draft with a smaller option, what was asked, and a larger one, each with its lines from the card; fewer where nothing differs."""
    estimate = draft_estimate(shoot, at=at)
    asked = estimate.options.get()
    size = size_asked(asked, card_of(estimate))
    asked.title = size_title("asked", size.pictures, estimate.language)
    asked.summary = size_in_words(size, size, estimate.language)
    asked.letter = LETTERS[1] if smaller(size) else LETTERS[0]  # they are read from small to large
    asked.save(update_fields=["letter", "title", "summary", "changed_at"])
    _add_sizes(estimate, asked)
    return estimate


@transaction.atomic
def add_sizes(estimate: Estimate, *, of: str) -> list[EstimateOption]:
    """A smaller and a larger option beside the one with the letter ``of``, which stays as it is; with one place left the smaller alone.

    Lines that are as they were drafted follow the new days and pictures, typed ones stay; the licence is reckoned anew.
    Raises ``EstimateNotDraft``, ``ThreeOptionsAtMost``, ``SumTooLarge``.
    """
    lock_estimate(estimate)
    need_draft(estimate)
    if estimate.options.count() == len(LETTERS):
        raise ThreeOptionsAtMost
    made = _add_sizes(estimate, estimate.options.get(letter=of))
    _touch(estimate)
    return made


def _add_sizes(estimate: Estimate, asked: EstimateOption) -> list[EstimateOption]:
    card = card_of(estimate)
    size = size_asked(asked, card)
    now = draft_lines(estimate.shoot, asked, card, estimate.language)
    days_follow = bool(_as_drafted(asked, now, "on_set"))
    sizes = {
        "smaller": smaller(size, days_follow=days_follow),
        "larger": larger(size, wider=wider_place, days_follow=days_follow),
    }
    taken = set(estimate.options.values_list("letter", flat=True))
    free = [letter for letter in LETTERS if letter not in taken]
    made = []
    for (which, wanted), letter in zip([each for each in sizes.items() if each[1]], free, strict=False):
        if wanted is not None:
            made.append(_sized_option(asked, size, wanted, which, letter, now))
    return made


def _sized_option(
    asked: EstimateOption, size: Size, wanted: Size, which: str, letter: str, drafted: Sequence[Mapping[str, Any]]
) -> EstimateOption:
    estimate, card = asked.estimate, card_of(asked.estimate)
    option = _copy_option(asked, estimate, letter=letter)
    option.title = size_title(which, wanted.pictures, estimate.language)
    option.summary = size_in_words(wanted, size, estimate.language)[:300]
    option.pictures_count, option.use_months = wanted.pictures, wanted.months
    option.use_territories = [code for code in IN_FORCE.territories.nodes if code in wanted.places]
    if option.exclusive_months and wanted.months:
        option.exclusive_months = min(option.exclusive_months, wanted.months)
    option.save(update_fields=[*OPTION_FIELDS, "changed_at"])
    option.pictures.set(list(asked.pictures.order_by("order", "pk"))[: wanted.pictures])
    _follow_size(option, drafted, draft_lines(estimate.shoot, option, card, estimate.language, on_set=wanted.on_set))
    _reckon_anew(option, estimate)
    sums_with(estimate, option.lines.all(), option)
    return option


def _follow_size(
    option: EstimateOption, drafted: Sequence[Mapping[str, Any]], wanted: Sequence[Mapping[str, Any]]
) -> None:
    """The lines of a copied option that are as they were ``drafted`` become the ``wanted`` ones; what was typed or removed stays so."""
    for group in dict.fromkeys(_group(line) for line in (*drafted, *wanted)):
        was = [line for line in drafted if _group(line) == group]
        mine = _as_drafted(option, drafted, group)
        if was and not mine:
            continue
        order = mine[0].order if mine else max(option.lines.values_list("order", flat=True), default=0) + 1
        option.lines.filter(pk__in=[line.pk for line in mine]).delete()
        for line in wanted:
            if _group(line) == group:
                fields = {**line, **price_fields(line["unit_price"], option.estimate)}
                EstimateLine.objects.create(option=option, order=order, **fields)


def _group(line: Mapping[str, Any]) -> str:
    """Lines that stand for one thing: whole and half days on set together, else those of a name. Nothing of finishing and licence."""
    if line["kind"] in (LineKind.SHOOTING_DAY, LineKind.HALF_DAY):
        return "on_set"
    return "" if line["kind"] in (LineKind.FINISHING, LineKind.USAGE) else f"{line['kind']} {line['what']}"


def _as_drafted(option: EstimateOption, drafted: Sequence[Mapping[str, Any]], group: str) -> list[EstimateLine]:
    """The option's lines of a group where they are as they were drafted, by how much of what at which price; none where they are not."""
    mine = [line for line in option.lines.all() if _group({"kind": line.kind, "what": line.what}) == group]
    kept = [
        (line.quantity, own_price(Price(line.unit_price, line.own_price), option.estimate.currency_rate))
        for line in mine
    ]
    was = [(line["quantity"], line["unit_price"]) for line in drafted if _group(line) == group]
    return mine if group and sorted(kept) == sorted(was) else []


def _new_draft(shoot: Shoot, card: RateCard, *, at: datetime, instead: Mapping[str, Any] | None = None) -> Estimate:
    """A draft without an option yet: the usual terms of the card, or those handed in ``instead``; the VAT and the days of today."""
    on = today(at)
    client = shoot.client
    tax = tax_of(current_business(on), shoot.billing_party)
    terms = {
        "currency": card.currency,
        **_frozen(card),
        "tolerance_percent": card.tolerance_percent,
        "deposit_percent": card.deposit_percent,
        "deposit_days": card.deposit_days,
        "rounds_included": card.rounds_included,
        "further_round_rate": card.finishing_rate,
        "overtime_rate": card.overtime_rate,
        "hours_in_day": card.hours_in_day,
        "day_rate": card.day_rate,
        "cancellation_free_days": card.cancellation_free_days,
        "cancellation_percent": card.cancellation_percent,
        "cancellation_day_percent": card.cancellation_day_percent,
        "lapse_days": card.lapse_days,
        "billable_when": shoot.billable_when,
        "portfolio_from": shoot.portfolio_from,
    }
    return Estimate.objects.create(
        number=take_number("estimate", on=on),
        shoot=shoot,
        language=client.language,
        opening=opening_of(shoot, client.language),
        valid_until=valid_until(on, card.validity_days),
        tax_category=tax.category,
        tax_percent=tax.rate,
        tax_reason=tax.reason,
        made_at=at,
        **terms | dict(instead or {}),
    )


def _pictures_wanted(shoot: Shoot) -> list[AgreedPicture]:
    return list(shoot.agreed_pictures.exclude(state=AgreedPicture.State.LEFT_OUT))


@transaction.atomic
def save_estimate(
    estimate: Estimate, *, fields: Iterable[str], version: int, options: Sequence[OptionEdit], at: datetime
) -> Estimate:
    """Saves what was typed: terms, options, lines in their order, with the VAT of today. Where pictures or use changed, finishing and licence are reckoned anew.

    In another language, what still stands as it was drafted is said in that one; what was typed stays as it is. Raises ``EstimateNotDraft``, ``EditedMeanwhile``, ``SumTooLarge``.
    """
    need_draft(estimate)
    with_tax_of(current_business(today(at)), estimate)
    spoken = Estimate.objects.values_list("language", flat=True).get(pk=estimate.pk)
    save_edit(estimate, [*fields, *TAX_FIELDS], version=version)
    for edit in options:
        option = edit.option
        before = _priced_by(EstimateOption.objects.get(pk=option.pk))
        option.save(update_fields=[*OPTION_FIELDS, "changed_at"])
        option.pictures.set(edit.pictures)
        OptionItem.objects.filter(
            option=option, is_optional=True, lines__in=edit.removed
        ).delete()  # goes with its line
        EstimateLine.objects.filter(option=option, pk__in=edit.removed).delete()
        for order, line in enumerate(edit.lines):
            line.option, line.order = option, order
            line.save()
        if before != _priced_by(option):
            _reckon_anew(option, estimate)
        sums_with(estimate, EstimateLine.objects.filter(option=option), option)  # not the lines read before
    if spoken != estimate.language:
        _translate(estimate, spoken)
    return estimate


def _translate(estimate: Estimate, spoken: str) -> None:
    """Says what stands as it was drafted in the language ``spoken`` in the estimate's own."""
    before, now = (drafted_words(estimate, language) for language in (spoken, estimate.language))
    said = {old: new for old, new in zip(before, now, strict=True) if old and old != new}
    lines = EstimateLine.objects.filter(option__estimate=estimate)
    rows: list[tuple[Any, Sequence[str]]] = [(estimate, ["opening"])]
    rows += [(option, ["title", "summary"]) for option in EstimateOption.objects.filter(estimate=estimate)]
    rows += [(line, ["what", "working"]) for line in lines]
    for row, names in rows:
        changed = {name: said[getattr(row, name)] for name in names if getattr(row, name) in said}
        if changed:
            type(row).objects.filter(pk=row.pk).update(**changed)
            for name, text in changed.items():
                setattr(row, name, text)


@transaction.atomic
def add_option(estimate: Estimate, *, copied_from: str) -> EstimateOption:
    """Option B or C, with the lines, pictures and use of another. Raises ``EstimateNotDraft``, ``ThreeOptionsAtMost``."""
    need_draft(estimate)
    taken = set(estimate.options.values_list("letter", flat=True))
    letter = next((each for each in LETTERS if each not in taken), None)
    if letter is None:
        raise ThreeOptionsAtMost
    source = estimate.options.get(letter=copied_from)
    option = _copy_option(source, estimate, letter=letter)
    _touch(estimate)
    return option


@transaction.atomic
def add_changed_option(
    estimate: Estimate, *, copied_from: str, title: str, changes: Mapping[str, Any]
) -> EstimateOption:
    """Option B or C like another, with other pictures or another use: finishing and licence are reckoned anew by the estimate's card.

    ``changes``: ``pictures_count`` or fields of use with their new values. Fewer pictures are the first of those ticked.
    Raises ``EstimateNotDraft``, ``ThreeOptionsAtMost``, ``SumTooLarge``.
    """
    option = add_option(estimate, copied_from=copied_from)
    for name, value in changes.items():
        setattr(option, name, value)
    option.title = title
    option.save(update_fields=["title", *changes, "changed_at"])
    for picture in option.pictures.order_by("order", "pk")[option.pictures_count :]:
        option.pictures.remove(picture)
    _reckon_anew(option, estimate)
    sums_with(estimate, EstimateLine.objects.filter(option=option), option)
    return option


@transaction.atomic
def remove_option(estimate: Estimate, *, letter: str) -> None:
    """Takes an option off a draft; the others close up. Raises ``EstimateNotDraft``, ``LastOption``."""
    need_draft(estimate)
    if estimate.options.count() == 1:
        raise LastOption
    estimate.options.filter(letter=letter).delete()
    for wanted, option in zip(LETTERS, estimate.options.order_by("letter"), strict=False):
        if option.letter != wanted:
            EstimateOption.objects.filter(pk=option.pk).update(letter=wanted)
    _touch(estimate)


@transaction.atomic
def add_item(estimate: Estimate, *, letter: str, use: Mapping[str, Any], is_optional: bool = False) -> OptionItem:
    """One more use in an option, with the fields of ``IntendedUse``; the licence is reckoned anew. An optional one gets a line of its own.

    Raises ``EstimateNotDraft``, ``SixUsesAtMost``, ``OneOptionalUse``, ``SumTooLarge``.
    """
    lock_estimate(estimate)
    need_draft(estimate)
    option = estimate.options.get(letter=letter)
    orders = list(option.further_items.values_list("order", flat=True))
    if len(orders) + 1 >= MOST_ITEMS:
        raise SixUsesAtMost
    if is_optional:
        _need_no_other_optional(option)
    item = OptionItem.objects.create(option=option, order=max(orders, default=0) + 1, is_optional=is_optional, **use)
    _reckon_anew(option, estimate, keeps_licence=is_optional)
    sums_with(estimate, option.lines.all(), option)
    _touch(estimate)
    return item


@transaction.atomic
def change_item(estimate: Estimate, *, item: int, use: Mapping[str, Any], is_optional: bool) -> OptionItem:
    """A further use changed where it stands: its fields and whether the client may add it, its order kept; the licence is reckoned anew.

    Raises ``EstimateNotDraft``, ``UseGone``, ``OneOptionalUse``, ``SumTooLarge``.
    """
    lock_estimate(estimate)
    need_draft(estimate)
    row = OptionItem.objects.filter(pk=item, option__estimate=estimate).select_related("option").first()
    if row is None:
        raise UseGone
    if is_optional and not row.is_optional:
        _need_no_other_optional(row.option)
    stays_apart = is_optional and row.is_optional
    row.is_optional = is_optional
    for name, value in use.items():
        setattr(row, name, value)
    row.save(update_fields=["is_optional", *use])
    _reckon_anew(row.option, estimate, keeps_licence=stays_apart)
    sums_with(estimate, row.option.lines.all(), row.option)
    _touch(estimate)
    return row


@transaction.atomic
def remove_item(estimate: Estimate, *, item: int) -> None:
    """Takes a further use off its option; the licence is reckoned anew. One that is gone already is no fault. Raises ``EstimateNotDraft``."""
    lock_estimate(estimate)
    need_draft(estimate)
    row = OptionItem.objects.filter(pk=item, option__estimate=estimate).select_related("option").first()
    if row is None:
        return
    row.delete()
    _reckon_anew(row.option, estimate, keeps_licence=row.is_optional)
    _touch(estimate)


@transaction.atomic
def move_line(estimate: Estimate, *, line: int, places: int) -> None:
    """Moves a line ``places`` down its option (negative: up). Raises ``EstimateNotDraft``."""
    need_draft(estimate)
    row = EstimateLine.objects.filter(pk=line, option__estimate=estimate).first()
    if row is None:
        return
    rows = list(EstimateLine.objects.filter(option=row.option_id).order_by("order", "pk"))
    here = rows.index(row)
    rows.insert(min(max(here + places, 0), len(rows) - 1), rows.pop(here))
    for order, each in enumerate(rows):
        EstimateLine.objects.filter(pk=each.pk).update(order=order)


@transaction.atomic
def take_wider_use(estimate: Estimate, *, letter: str, key: str) -> bool:
    """Widens an option's licence to what costs no more (``wider_uses``); its fee stays. False where that is not on offer any more.

    Raises ``EstimateNotDraft``.
    """
    lock_estimate(estimate)
    need_draft(estimate)
    option = estimate.options.get(letter=letter)
    offer = next((each for each in wider_uses(option, estimate) if each.key == key), None)
    if offer is None:
        return False
    uses = items_of(option)
    for use in (uses[index] for index in offer.items):
        setattr(use, f"use_{offer.of}", list(offer.codes))
        use.is_own_promotion = use.is_own_promotion and is_own_promotion(
            frozenset(use.use_classes), frozenset(use.use_media)
        )
        use.save(update_fields=[f"use_{offer.of}", "is_own_promotion"])
    _reckon_anew(option, estimate)
    _touch(estimate)
    return True


@transaction.atomic
def use_card_of_today(estimate: Estimate, *, at: datetime) -> Estimate:
    """A draft goes by today's rates and fees: prices that were its card's follow, typed ones stay; the new card is frozen in it.

    Raises ``EstimateNotDraft``, ``SumTooLarge``.
    """
    need_draft(estimate)
    on = today(at)
    return _reprice(estimate, rates_in_force(on), estimate.currency_rate, {})


@transaction.atomic
def offer_in_currency(
    estimate: Estimate, *, currency: str, rate: Decimal | None, rate_on: date | None, source: str
) -> Estimate:
    """A draft in the client's money: every price × ``rate`` (how much of it one of the studio's own buys), with the day and source of the rate.

    ``rate`` None goes back to the studio's own money, to the cent as it was. Raises ``EstimateNotDraft``, ``SumTooLarge``.
    """
    need_draft(estimate)
    given = {
        "currency": currency,
        "currency_rate": rate,
        "currency_rate_on": rate_on if rate else None,
        "currency_rate_source": source if rate else "",
    }
    return _reprice(estimate, card_of(estimate), rate, given)


@transaction.atomic
def draft_like(shoot: Shoot, source: Estimate, *, at: datetime) -> Estimate:
    """A draft for a shoot with the options, lines and terms of an earlier estimate, by today's card, VAT and days of validity.

    Pictures are those wanted for this shoot, as many as the earlier option had at most where fewer are wanted; typed prices stay, the card's
    follow. Raises ``SumTooLarge``.
    """
    card = rates_in_force(today(at))
    kept = [name for name in COPIED if name not in ("language", "opening", "portfolio_from", "begins_on")]
    fresh = _new_draft(shoot, card, at=at, instead={name: getattr(source, name) for name in kept})
    wanted = _pictures_wanted(shoot)
    for option in source.options.order_by("letter"):
        copied = _copy_option(option, fresh, letter=option.letter)
        copied.pictures.set(wanted[: copied.pictures_count])
    return _reprice(fresh, card, fresh.currency_rate, {})


def _reprice(estimate: Estimate, card: RateCard, rate: Decimal | None, given: Mapping[str, Any]) -> Estimate:
    full = estimate_in_full(estimate.pk)
    found = repriced(full, to_card=card, to_rate=rate)
    for each in found:
        if each.price.shown > LARGEST_SUM:  # no column holds it
            raise SumTooLarge(each.line.option.letter if each.line else "A")
    was_other_card = frozen_card(card) != full.card
    terms = {each.term: each.price for each in found if each.line is None}
    Estimate.objects.filter(pk=estimate.pk).update(
        **_frozen(card),
        **{name: price.shown for name, price in terms.items()},
        own_terms={name: str(price.own) for name, price in terms.items() if price.own is not None},
        version=F("version") + 1,
        **given,
    )
    for each in found:
        if each.line is not None:
            EstimateLine.objects.filter(pk=each.line.pk).update(unit_price=each.price.shown, own_price=each.price.own)
    estimate.refresh_from_db()
    changed = {each.line.option_id for each in found if each.line is not None and each.is_changed}
    for option in full.options.all():
        if was_other_card and option.pk in changed:
            _say_working_anew(option, estimate)
        sums_with(estimate, EstimateLine.objects.filter(option=option), option)  # with all the client may add
    return estimate


def _say_working_anew(option: EstimateOption, estimate: Estimate) -> None:
    """The words under the licence's fee, by the card the estimate goes by now, where the fee is that card's."""
    card = card_of(estimate)
    for item in (None, *optional_items_of(option)):
        reckoned = optional_line(option, item, card, estimate) if item else licence_line(option, card, estimate)
        EstimateLine.objects.filter(
            option=option, kind=LineKind.USAGE, item=item, unit_price=reckoned["unit_price"]
        ).update(working=reckoned["working"], figures=reckoned["figures"])


@transaction.atomic
def discard_estimate(estimate: Estimate) -> None:
    """Deletes a draft; its number is not used again. Raises ``EstimateNotDraft``."""
    need_draft(estimate)
    estimate.delete()


@transaction.atomic
def revise_estimate(estimate: Estimate, *, at: datetime) -> Estimate:
    """A new version as a draft: the same number, the next issue. What was accepted stands until the new version is accepted.

    A draft version that exists already is handed back. Raises ``EstimateNotDraft`` for a draft, which is edited itself.
    """
    lock_estimate(estimate)
    open_draft = Estimate.objects.filter(number=estimate.number, state=EstimateState.DRAFT).first()
    if open_draft is not None:
        return open_draft
    newest = Estimate.objects.filter(number=estimate.number).order_by("-issue").values_list("issue", flat=True)[0]
    on = today(at)
    card = rates_in_force(on)
    tax = tax_of(current_business(on), estimate.shoot.billing_party)
    fresh = Estimate.objects.create(
        number=estimate.number,
        issue=newest + 1,
        shoot=estimate.shoot,
        supersedes=estimate,
        valid_until=valid_until(on, card.validity_days),
        tax_category=tax.category,
        tax_percent=tax.rate,
        tax_reason=tax.reason,
        made_at=at,
        **{name: getattr(estimate, name) for name in COPIED},
    )
    for option in estimate.options.all():
        _copy_option(option, fresh, letter=option.letter)
    return fresh


def lock_estimate(estimate: Estimate) -> None:
    """Holds an estimate and its shoot until the transaction ends, the shoot first, and reads the estimate as it is then."""
    lock_shoots(estimate.shoot_id)
    Estimate.objects.select_for_update().get(pk=estimate.pk)
    estimate.refresh_from_db()


def need_draft(estimate: Estimate) -> None:
    """Passes a draft by what the books say, whatever the row in hand does. Raises ``EstimateNotDraft``."""
    state = Estimate.objects.values_list("state", flat=True).get(pk=estimate.pk)
    if state != EstimateState.DRAFT:
        estimate.state = state
        raise EstimateNotDraft(estimate)


def _need_no_other_optional(option: EstimateOption) -> None:
    if option.further_items.filter(is_optional=True).exists():
        raise OneOptionalUse


def _touch(estimate: Estimate) -> None:
    Estimate.objects.filter(pk=estimate.pk).update(version=F("version") + 1)


def _frozen(card: RateCard) -> dict[str, Any]:
    kept = frozen_card(card)
    return {"card": kept, "card_sha256": digest_of(kept)}


def _write_lines(option: EstimateOption, lines: Iterable[dict[str, Any]]) -> None:
    EstimateLine.objects.bulk_create(
        EstimateLine(option=option, order=order, **line) for order, line in enumerate(lines)
    )


def _copy_option(source: EstimateOption, estimate: Estimate, *, letter: str) -> EstimateOption:
    option = EstimateOption.objects.create(
        estimate=estimate, letter=letter, **{name: getattr(source, name) for name in OPTION_FIELDS}
    )
    option.pictures.set(source.pictures.all())
    items = {
        each.pk: OptionItem.objects.create(
            option=option,
            order=each.order,
            is_optional=each.is_optional,
            **{name: getattr(each, name) for name in USE_FIELDS},
        )
        for each in source.further_items.all()
    }
    _write_lines(
        option,
        (
            {name: getattr(line, name) for name in LINE_FIELDS}
            | {"item": items[line.item_id] if line.item_id else None}
            for line in source.lines.all()
        ),
    )
    return option


def _priced_by(option: EstimateOption) -> list[Any]:
    """What finishing and licence are reckoned from; the order of codes is no difference."""
    values = [finishing_counts(option), *(getattr(option, name) for name in ("pictures_count", *USE_FIELDS))]
    return [sorted(value) if isinstance(value, list) else value for value in values]


def _reckon_anew(option: EstimateOption, estimate: Estimate, *, keeps_licence: bool = False) -> None:
    """What follows from uses and pictures. ``keeps_licence``: the uses granted are the same, so a fee typed for them stays."""
    card = card_of(estimate)
    _reckon_finishing(option, estimate, card)
    line = option.lines.filter(kind=LineKind.USAGE, item=None).first()
    if line is not None and not keeps_licence:
        EstimateLine.objects.filter(pk=line.pk).update(**licence_line(option, card, estimate))
    option.lines.filter(item__is_optional=False).delete()  # became part of the option
    for item in optional_items_of(option):
        reckoned = optional_line(option, item, card, estimate)
        if not option.lines.filter(item=item).update(**reckoned):
            order = max(option.lines.values_list("order", flat=True), default=0) + 1
            EstimateLine.objects.create(option=option, order=order, **reckoned)


def _reckon_finishing(option: EstimateOption, estimate: Estimate, card: RateCard) -> None:
    """The drafted lines of finishing by the pictures there are now; their price stays. Where all were removed none comes back."""
    drafted = option.lines.filter(kind=LineKind.FINISHING).exclude(finishing="")
    first = drafted.first()
    if first is None:
        return
    reckoned = {line["finishing"]: line for line in finishing_lines(option, card, estimate.language)}
    drafted.exclude(finishing__in=reckoned).delete()
    for kind, line in reckoned.items():
        price = line.pop("unit_price")
        if not drafted.filter(finishing=kind).update(**line):
            EstimateLine.objects.create(option=option, order=first.order, **line, **price_fields(price, estimate))
