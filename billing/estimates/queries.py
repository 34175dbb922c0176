from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass, replace
from datetime import date, datetime
from decimal import Decimal
from fractions import Fraction
from math import ceil
from typing import Any

from django.db.models import Case, OuterRef, Prefetch, Q, QuerySet, Subquery, When

from billing.estimates.adding_up import amount_of, sums_with
from billing.estimates.finishing import counts_by_kind
from billing.estimates.hires import drafted_line, own_work, rush_line
from billing.estimates.lines import (
    HELPERS,
    finishing_by_kind,
    helper_line,
    kit_line,
    preparation_lines,
    set_lines,
    travel_line,
)
from billing.estimates.models import Estimate, EstimateLine, EstimateOption, EstimateState, LineKind, OptionItem
from billing.estimates.repricing import Price, by_new_card, own_price, price_in
from billing.estimates.sizes import HALF_DAY, Size
from billing.estimates.snapshot import EstimateShown, LineShown, OptionShown, TermShown, UseShown, estimate_from_json
from billing.estimates.wider import WiderUse, wider_by_fee
from billing.estimates.wording import (
    Term,
    TermsGiven,
    added_name,
    added_working,
    converted_working,
    currency_in_words,
    is_usage_working,
    line_name,
    opening_in_words,
    option_title,
    promise_in_words,
    size_in_words,
    size_title,
    terms_in_words,
    usage_working,
)  # fmt: skip
from billing.rates.card import Card
from billing.rates.fees import CannotPrice, Exclusive, Fee, UseItem, copies_priced, usage_fee
from billing.rates.models import RateCard
from billing.rates.queries import card_from_frozen, usage_card
from billing.rates.told import FeeTold, UseTold, fee_told
from billing.rates.wanted import Kitchen, ShootFacts, rush_sum, wanted_lines
from billing.rates.working import fee_data
from billing.sums.tax import Recipient, Supplier, TaxCase, reason_text, tax_case
from clients.models import Client
from clients.queries import trade_names
from shared.business.models import BusinessProfile
from shared.business.queries import current_business, today
from shared.dates import no_use_from
from shared.money import ZERO
from shared.related import number_of
from shared.words import formats
from shared.words.formats import with_capital
from shoots.brief.models import AgreedPicture, IntendedUse, Shoot, ShootState
from shoots.brief.queries import shoots_clashing
from shoots.licences.models import Begins
from shoots.uses import intended
from shoots.uses.sentences import LicenceWords, licence_sentences, media_in_words, purpose_in_words, use_sentence
from shoots.uses.shipped import IN_FORCE

TERM_RATES = {"further_round_rate": "finishing_rate", "overtime_rate": "overtime_rate", "day_rate": "day_rate"}


def estimates_listed(*, state: str = "", text: str = "") -> QuerySet[Estimate]:
    """Estimates in a state whose number, client, shoot or order number holds ``text``, the newest first."""
    found = Estimate.objects.select_related("shoot__client", "accepted_option")
    if state:
        found = found.filter(state=state)
    for word in text.split():
        found = found.filter(
            Q(number__icontains=word)
            | Q(shoot__title__icontains=word)
            | Q(shoot__client__name__icontains=word)
            | Q(order_number__icontains=word)
        )
    return found.order_by("-made_at", "-pk").annotate(
        open_questions=number_of(Estimate.questions, where=Q(answered_at=None))
    )


def estimates_to_copy(shoot: Shoot, *, text: str = "") -> QuerySet[Estimate]:
    """Estimates a draft for this shoot may be like: every job's newest version that is no draft, this client's first, then the newest."""
    newest = Estimate.objects.filter(number=OuterRef("number")).exclude(state=EstimateState.DRAFT).order_by("-issue")
    found = estimates_listed(text=text).exclude(state=EstimateState.DRAFT).filter(pk=Subquery(newest.values("pk")[:1]))
    is_other = Case(When(shoot__client=shoot.client_id, then=0), default=1)
    return found.order_by(is_other, "-made_at", "-pk")


def estimates_of_shoot(shoot: int) -> QuerySet[Estimate]:
    """All estimates of a shoot, the newest first."""
    return estimates_listed().filter(shoot=shoot)


def shoots_to_estimate() -> QuerySet[Shoot]:
    """Shoots that may get an estimate: not cancelled, not delivered, the nearest first."""
    return Shoot.objects.exclude(state__in=("cancelled", "delivered")).select_related("client").order_by("-made_at")


def accepted_estimate_of(shoot: Shoot) -> Estimate | None:
    """The estimate by whose terms the shoot runs."""
    return Estimate.objects.filter(shoot=shoot, state=EstimateState.ACCEPTED).order_by("-decided_at").first()


def billed_by(estimate: Estimate) -> str:
    """The number of the invoice that bills the job of this estimate, in whatever version; empty while none stands."""
    versions = Estimate.objects.filter(
        number=estimate.number, invoices__job_key=f"estimate:{estimate.number}", invoices__is_cancelled=False
    )
    return versions.values_list("invoices__number", flat=True).first() or ""


def is_called_off(estimate: Estimate) -> bool:
    """Whether its shoot was cancelled."""
    return Shoot.objects.filter(pk=estimate.shoot_id, state=ShootState.CANCELLED).exists()


def estimate_in_full(pk: int) -> Estimate:
    """One estimate with shoot, client, options, lines and pictures, in a constant number of queries."""
    options = EstimateOption.objects.prefetch_related(
        Prefetch("lines", queryset=EstimateLine.objects.order_by("order", "pk")),
        Prefetch("pictures", queryset=AgreedPicture.objects.order_by("order", "pk")),
        "further_items",
    )
    return (
        Estimate.objects.select_related(
            "shoot__client", "shoot__billing_party", "shoot__licensee", "shoot__kitchen", "paper", "accepted_option"
        )
        .prefetch_related(Prefetch("options", queryset=options.order_by("letter")), "questions")
        .get(pk=pk)
    )


def tax_of(business: BusinessProfile, billed: Client) -> TaxCase:
    """The usual VAT of work for the billing party; ``ask`` says what to look at."""
    return tax_case(
        Supplier(business.country, business.tax_percent, business.is_small_business, bool(business.vat_number)),
        Recipient(billed.country, billed.is_business, billed.vat_number),
    )


def with_tax_of(business: BusinessProfile, estimate: Estimate) -> Estimate:
    """A draft with the VAT of the profile of the day, as saving and sending reckon it; nothing is written."""
    tax = tax_of(business, estimate.shoot.billing_party)
    estimate.tax_category, estimate.tax_percent, estimate.tax_reason = tax.category, tax.rate, tax.reason
    return estimate


def tax_reason_in_words(reason: str, business: BusinessProfile, language: str) -> str:
    """Why the paper charges no VAT, as it prints it; empty when it does."""
    wording = business.exemption_wording_de if language == "de" else business.exemption_wording_en
    return reason_text(reason, language, small_business_wording=wording)


def licence_words(
    option: IntendedUse, estimate: Estimate, *, licensor: str = "", pictures: int | None = None
) -> LicenceWords:
    """An option's use as the sentences want it: unplaced, from payment or delivery."""
    licensee = estimate.shoot.licensee
    first, until = _known_days(option, estimate)
    return LicenceWords(
        licensee=licensee.name,
        classes=frozenset(option.use_classes),
        media=frozenset(option.use_media),
        territories=frozenset(option.use_territories),
        use_from=first,
        use_until=until,
        months=option.use_months,
        begins=intended.Begins(estimate.begins),
        begins_on=estimate.begins_on,
        lapse_days=estimate.lapse_days,
        exclusivity=intended.Exclusivity(option.exclusivity),
        exclusive_months=option.exclusive_months,
        trade=licensee.trade or None,
        trade_names=_names_of_trade(estimate) if option.exclusivity == intended.Exclusivity.TRADE else (),
        copies=option.use_copies or None,
        are_copies_unlimited=option.use_copies == intended.ANY_NUMBER,
        picture_count=pictures,
        licensor=licensor,
    )


def _names_of_trade(estimate: Estimate) -> tuple[tuple[str, str], ...]:
    """What papers call the licensee's trade: asked once an estimate, however many of its uses name it."""
    if not hasattr(estimate, "names_of_trade"):
        estimate.names_of_trade = tuple(trade_names(estimate.shoot.licensee.trade).items())
    return estimate.names_of_trade


def _known_days(option: IntendedUse, estimate: Estimate) -> tuple[date | None, date | None]:
    """First day of use and first day after it where use begins on a date: known today, so they are told instead of months from delivery."""
    if estimate.begins != Begins.ON_DATE or estimate.begins_on is None:
        return None, None
    try:
        return estimate.begins_on, no_use_from(estimate.begins_on, option.use_months)
    except (ValueError, OverflowError):  # a term past the last year a calendar shows
        return None, None


def has_use(option: IntendedUse) -> bool:
    """Whether the use is named enough to be priced and granted."""
    return bool(option.use_classes and option.use_media and option.use_territories)


def estimate_shown(estimate: Estimate, *, business: BusinessProfile, on: date) -> EstimateShown:
    """The estimate as the client will see it, in its own language. ``estimate`` comes from ``estimate_in_full``."""
    language, shoot = estimate.language, estimate.shoot
    billed = shoot.billing_party
    has_at_most = any(line.is_at_most for option in estimate.options.all() for line in option.lines.all())
    terms = terms_in_words(
        TermsGiven(**{name: getattr(estimate, name) for name in TermsGiven.__dataclass_fields__}), language
    )
    return EstimateShown(
        number=estimate.number,
        issue=estimate.issue,
        language=language,
        currency=estimate.currency,
        issued_on=on,
        valid_until=estimate.valid_until,
        title=shoot.title,
        days=formats.days(shoot.first_on, shoot.last_on or shoot.first_on, language) if shoot.first_on else "",
        place=", ".join(part for part in (shoot.kitchen.name, shoot.kitchen.city) if part) if shoot.kitchen else "",
        opening=estimate.opening,
        client_name=shoot.client.name,
        to=billed.in_the_window(language, home=business.country),
        sender_name=business.name,
        sender_strapline=business.what_we_do,
        sender_address=business.address_lines,
        sender_footer=tuple(
            line
            for line in (business.email, business.phone, business.website, business.vat_number or business.tax_number)
            if line
        ),
        options=tuple(option_shown(option, estimate, licensor=business.name) for option in estimate.options.all()),
        promise=promise_in_words(estimate.promise, estimate.tolerance_percent, language, has_at_most=has_at_most),
        begins=estimate.begins,
        deposit_percent=estimate.deposit_percent,
        deposit_days=estimate.deposit_days,
        tax_category=estimate.tax_category,
        tax_percent=estimate.tax_percent,
        tax_reason=tax_reason_in_words(estimate.tax_reason, business, language),
        terms=tuple(
            TermShown(heading=term.heading, sentence=term.sentence, is_short=term.is_short)
            for term in (*terms, *_currency_term(estimate))
        ),
        is_order_number_required=billed.is_order_number_required,
        signed_by=estimate.signed_by,
    )


def estimate_as_read(estimate: Estimate, *, at: datetime) -> EstimateShown:
    """The estimate as its client reads it: frozen once sent, a draft (from ``estimate_in_full``) as it would go out at this moment."""
    if estimate.snapshot:
        return estimate_from_json(estimate.snapshot)
    on = today(at)
    business = current_business(on)
    return estimate_shown(with_tax_of(business, estimate), business=business, on=on)


def _own_currency(estimate: Estimate) -> str:
    return str(estimate.card.get("currency", "")) or estimate.currency


def _currency_term(estimate: Estimate) -> list[Term]:
    if not (estimate.currency_rate and estimate.currency_rate_on):
        return []
    return [
        currency_in_words(
            estimate.currency_rate,
            estimate.currency_rate_on,
            estimate.currency_rate_source,
            own=_own_currency(estimate),
            offered=estimate.currency,
            language=estimate.language,
        )
    ]


def option_shown(option: EstimateOption, estimate: Estimate, *, licensor: str) -> OptionShown:
    """One option with its sums and its use in words."""
    lines = tuple(line_shown(line, estimate, *_told_with(option, line, estimate)) for line in option.lines.all())
    return OptionShown(
        key=str(option.pk),
        letter=option.letter,
        title=option.title,
        summary=option.summary,
        lines=lines,
        discount_percent=option.discount_percent,
        discount_reason=option.discount_reason,
        sums=sums_with(estimate, [line for line in lines if not line.is_optional], option),
        pictures=tuple(picture.title for picture in option.pictures.all()),
        pictures_count=option.pictures_count,
        use=_use_shown(option, option, estimate, licensor=licensor),
        further_uses=tuple(_use_shown(each, option, estimate, licensor=licensor) for each in items_of(option)[1:]),
        optional_uses=tuple(
            _use_shown(each, option, estimate, licensor=licensor, key=str(line.pk))
            for each in optional_items_of(option)
            for line in option.lines.all()
            if line.item_id == each.pk
        ),
    )


def _use_shown(
    use: IntendedUse, option: EstimateOption, estimate: Estimate, *, licensor: str, key: str = ""
) -> UseShown:
    sentences: tuple[str, ...] = ()
    heading = ""
    if has_use(use):
        words = licence_words(use, estimate, licensor=licensor, pictures=option.pictures_count)
        sentences, heading = licence_sentences(words, estimate.language), purpose_in_words(words, estimate.language)
    return UseShown(
        is_own_promotion=use.is_own_promotion,
        classes=tuple(use.use_classes),
        media=tuple(use.use_media),
        territories=tuple(use.use_territories),
        months=use.use_months,
        exclusivity=use.exclusivity,
        exclusive_months=use.exclusive_months,
        copies=use.use_copies,
        heading=heading,
        sentences=sentences[:-2],
        not_included=" ".join(sentences[-2:]),
        key=key,
    )


def line_shown(
    line: EstimateLine, estimate: Estimate, uses: Sequence[IntendedUse] = (), added: Decimal | None = None
) -> LineShown:
    """One line with its sum; a price reckoned from the studio's own money says so, a usage fee of these uses opens, with what the last ``added``."""
    working, fee = line.working, _fee_of(line, estimate, uses, added)
    own = _own_currency(estimate)
    is_drafted = fee is not None and is_usage_working(
        working, Decimal(line.figures["fee"]), own, formats.language_of(estimate.language)
    )
    if line.own_price is not None and estimate.currency_rate:
        said = converted_working(line.own_price, own, estimate.currency_rate, estimate.language)
        working = f"{working} ({said})" if working else said
    return LineShown(
        key=line.key,
        kind=line.kind,
        what=line.what,
        working=working,
        quantity=line.quantity,
        unit=line.unit,
        unit_price=line.unit_price,
        markup_percent=line.markup_percent,
        amount=amount_of(line),
        is_at_most=line.is_at_most,
        is_at_cost=line.is_at_cost,
        is_disbursement=line.is_disbursement,
        is_optional=line.is_optional,
        fee=fee,
        is_own_working=not is_drafted,
    )


def _fee_of(
    line: EstimateLine, estimate: Estimate, uses: Sequence[IntendedUse], added: Decimal | None
) -> FeeTold | None:
    """The fee of a line in words, ``added`` of it by an optional use; None where the photographer asks another price than the one reckoned."""
    asked = _reckoned(line, estimate, added)
    if asked is None:
        return None
    usage = usage_card(card_of(estimate))
    exact = sum((Fraction(each["sum"]) for each in line.figures["lines"]), Fraction(0))
    rate = estimate.currency_rate
    return fee_told(
        line.figures,
        [UseTold(each.use_classes, each.use_media, each.use_territories) for each in uses],
        currency=_own_currency(estimate),
        language=estimate.language,
        is_least=Fraction(asked) == usage.minimum and ceil(exact / usage.step) * usage.step < usage.minimum,
        added=added,
        offered=(line.unit_price, estimate.currency, rate) if rate else None,
    )


def _told_with(
    option: EstimateOption, line: EstimateLine, estimate: Estimate
) -> tuple[tuple[IntendedUse, ...], Decimal | None]:
    """The uses the fee of a line was reckoned over, and what of it its optional use adds to the fee of the option.

    No uses where the option's own fee is another than the one reckoned: there is nothing right to compare with.
    """
    item = next((each for each in optional_items_of(option) if each.pk == line.item_id), None)
    if item is None:
        return items_of(option), None
    own = next((each for each in option.lines.all() if each.kind == LineKind.USAGE and each.item_id is None), None)
    without = _reckoned(own, estimate) if own else None
    if without is None or not line.figures.get("fee"):
        return (), None
    return (*items_of(option), item), Decimal(line.figures["fee"]) - without


def _reckoned(line: EstimateLine, estimate: Estimate, added: Decimal | None = None) -> Decimal | None:
    """The fee reckoned for a line, in the studio's money; None where the photographer asks another price than it, or than what of it is ``added``."""
    if not line.figures.get("fee") or line.quantity != 1:
        return None
    asked, own = Decimal(line.figures["fee"]), own_price(Price(line.unit_price, line.own_price), estimate.currency_rate)
    return asked if own == (asked if added is None else added) else None


def missing_before_sending(estimate: Estimate, *, business: BusinessProfile | None, on: date) -> list[str]:
    """What the client must be told and is not there yet, a sentence each; empty when the estimate can go."""
    missing = []
    if is_called_off(estimate):
        missing.append("The shoot was cancelled. Open a new one if it is taken up again.")
    billed = billed_by(estimate)
    if billed:
        missing.append(f"The job is billed already. Cancel invoice {billed} by credit note first.")
    if business is None or not (business.legal_name and business.street and business.city):
        missing.append("Your own name or address is missing: fill in the business profile.")
    elif not business.email:
        missing.append("Your own e-mail address is missing in the business profile.")
    if estimate.valid_until is None:
        missing.append("It has no day until which it is valid.")
    elif estimate.valid_until < on:
        missing.append(f"It was valid until {formats.day(estimate.valid_until, 'en')}. Enter a later day.")
    for option in estimate.options.all():
        lines = list(option.lines.all())
        if not any(not line.is_optional for line in lines):
            missing.append(f"Option {option.letter} has no line that is not optional.")
        missing += [
            f"“{line.what}” in option {option.letter} has no sum yet."
            for line in lines
            if not amount_of(line) and not (line.item_id and line.figures)  # a use may add nothing to the fee
        ]
        missing += [
            f"“{line.what}” in option {option.letter} can be left out, but grants no use of its own: name the use to add under Further uses."
            for line in lines
            if line.kind == LineKind.USAGE and line.is_optional and not line.item_id
        ]
        uses = (*items_of(option), *optional_items_of(option))
        if any(each.use_copies is None and IN_FORCE.media.is_counted(frozenset(each.use_media)) for each in uses):
            missing.append(
                f"Say in option {option.letter} how many copies are printed, or that any number may be: a printed use is priced by its copies."
            )
        if any(each.exclusivity == "trade" for each in uses) and not estimate.shoot.licensee.trade:
            missing.append(
                f"Option {option.letter} shuts out the licensee’s trade, and no trade is named: enter it at {estimate.shoot.licensee}."
            )
        if not all(has_use(each) for each in uses):
            missing.append(f"Option {option.letter} does not say what the pictures may be used for.")
        elif any(each.exclusivity != "none" for each in uses) and not estimate.signed_by:
            missing.append(f"Option {option.letter} grants an exclusive licence: it needs your own signature.")
        if not option.pictures_count:
            missing.append(f"Option {option.letter} does not say how many pictures it has.")
    return missing


def check_before_sending(estimate: Estimate, *, business: BusinessProfile) -> list[str]:
    """What to look at before sending; none of it stops the estimate."""
    shoot, notes = estimate.shoot, []
    if shoot.first_on is None:
        notes.append("The shoot has no day yet, so nothing is pencilled.")
    else:
        for other in shoots_clashing(shoot.first_on, shoot.last_on, apart_from=shoot):
            day = formats.day(other.first_on, "en") if other.first_on else ""
            notes.append(
                f"Clash of dates: {other.title} for {other.client} is {other.get_state_display().lower()} on {day}."
            )
    ask = tax_of(business, shoot.billing_party).ask
    if ask:
        notes.append(ask)
    if shoot.billing_party.currency != estimate.currency:
        notes.append(
            f"{shoot.billing_party} is billed in {shoot.billing_party.currency}, but this estimate is in {estimate.currency}. You can change its currency under Rates and currency."
        )
    return notes


def days_on_set(shoot: Shoot, card: RateCard) -> Decimal:
    """The days a shoot is planned for, in halves: half a day where its hours are no more, one day while nothing is known."""
    days = (shoot.last_on - shoot.first_on).days + 1 if shoot.first_on and shoot.last_on else 1
    if days == 1 and shoot.from_time and shoot.until_time:
        minutes = (shoot.until_time.hour - shoot.from_time.hour) * 60 + shoot.until_time.minute - shoot.from_time.minute
        if 0 < minutes <= card.hours_in_day / 2 * 60:
            return HALF_DAY
    return Decimal(days)


def draft_lines(
    shoot: Shoot, option: EstimateOption, card: RateCard, language: str, *, on_set: Decimal | None = None
) -> list[dict[str, Any]]:
    """The lines of a first draft, each with its working: getting ready, days, helpers, kit, finishing, licence, travel, hires, haste.

    ``on_set``: other days on set than the shoot is planned for, in halves. Prices are in the card's money.
    """
    on_set = days_on_set(shoot, card) if on_set is None else on_set
    days = ceil(on_set)
    facts = _facts_of(shoot, option, days)
    # the days of the shoot are told where the option has as many
    first, last = (shoot.first_on, shoot.last_on) if on_set == days_on_set(shoot, card) else (None, None)
    lines = [*preparation_lines(days, card, language), *set_lines(on_set, first, last, card, language)]
    for row in shoot.people.select_related("person").filter(part__in=HELPERS):
        lines.append(helper_line(row.part, row.person.name, days, card, language))
    if card.kit_rate:
        lines.append(kit_line(days, card, language))
    lines += [*finishing_lines(option, card, language), licence_line(option, card, option.estimate)]
    if shoot.kitchen and shoot.kitchen.distance_km:
        lines.append(travel_line(shoot.kitchen.distance_km, days, card, language))
    lines += [drafted_line(each, card.currency, language) for each in wanted_lines(facts, card)]
    if rush := rush_sum(facts, card, own_work(lines)):
        lines.append(rush_line(rush, card.rush_percent, facts, language))
    return lines


def _facts_of(shoot: Shoot, option: EstimateOption, days: int) -> ShootFacts:
    kitchen, whose = shoot.kitchen, Kitchen.UNKNOWN
    if kitchen is not None:
        theirs = (shoot.client_id, shoot.billing_party_id, shoot.licensee_id)
        whose = (
            Kitchen.OWN
            if kitchen.client_id is None
            else Kitchen.CLIENT
            if kitchen.client_id in theirs
            else Kitchen.OTHER
        )
    asked_on = today(option.estimate.made_at)
    return ShootFacts(
        days, option.pictures_count, whose, kitchen.distance_km if kitchen else None,
        shoot.people.filter(part="prop_stylist").exists(), (shoot.first_on - asked_on).days if shoot.first_on else None,
    )  # fmt: skip


def wider_place(code: str) -> str:
    """The region round a region or country, itself where there is none."""
    return IN_FORCE.territories.nodes[code].parent or code


def size_asked(option: EstimateOption, card: RateCard) -> Size:
    """What an option's price hangs on, at the days the shoot is planned for."""
    on_set = days_on_set(option.estimate.shoot, card)
    return Size(option.pictures_count, on_set, option.use_months, frozenset(option.use_territories))


def finishing_counts(option: EstimateOption) -> dict[str, int]:
    """How many of an option's pictures ask for which kind of finishing, by the pictures ticked in it."""
    return counts_by_kind([picture.finishing for picture in option.pictures.all()], option.pictures_count)


def finishing_lines(option: EstimateOption, card: RateCard, language: str) -> list[dict[str, Any]]:
    """Finishing by the minutes a picture takes, a line a kind."""
    return finishing_by_kind(finishing_counts(option), card, language)


def card_of(estimate: Estimate) -> RateCard:
    """The rate card an estimate is reckoned by: frozen when it was drafted."""
    return card_from_frozen(estimate.card)


def items_of(option: EstimateOption) -> tuple[IntendedUse, ...]:
    """The uses an option grants in any case: its own first, then the further ones in their order."""
    return option, *(each for each in option.further_items.all() if not each.is_optional)


def optional_items_of(option: EstimateOption) -> tuple[OptionItem, ...]:
    """The uses of an option that the client may add; one at most."""
    return tuple(each for each in option.further_items.all() if each.is_optional)


def licence_fee(
    option: EstimateOption, usage: Card, estimate: Estimate, *, also: Sequence[IntendedUse] = ()
) -> Fee | None:
    """The fee of an option's uses by a usage card, in the studio's money, cut into the cheapest lines; with those in ``also``.

    None while it cannot be priced: a use not named, no pictures, a printed use without its copies.
    """
    uses = (*items_of(option), *also)
    if not option.pictures_count or not all(has_use(each) for each in uses):
        return None
    try:
        return usage_fee(usage, option.pictures_count, [_use_item(each, today(estimate.made_at)) for each in uses])
    except CannotPrice:
        return None  # said before sending


def _use_item(use: IntendedUse, on: date) -> UseItem:
    return UseItem(
        frozenset(use.use_classes), frozenset(use.use_media), frozenset(use.use_territories), on, use.use_months,
        copies_priced(use.use_copies), Exclusive(use.exclusivity), use.exclusive_months,
    )  # fmt: skip


def licence_line(option: EstimateOption, card: RateCard, estimate: Estimate) -> dict[str, Any]:
    """The fee of all the option's uses by the card, with each use and factor in words and as data; 0 while it cannot be priced."""
    language, uses = estimate.language, items_of(option)
    fee, use = licence_fee(option, usage_card(card), estimate), ""
    if option.pictures_count and all(has_use(each) for each in uses):
        use = " ".join(use_sentence(licence_words(each, estimate), language) for each in uses)
    working = usage_working(use, fee, option.pictures_count, card.currency, language)
    return {
        "kind": LineKind.USAGE, "what": line_name("usage", language), "working": working, "quantity": Decimal(1), "unit": "",
        "figures": fee_data(fee) if fee else {}, **price_fields(fee.fee if fee else ZERO, estimate),
    }  # fmt: skip


def drafted_words(estimate: Estimate, language: str) -> list[str]:
    """Every text the draft of an estimate puts into it, in a language: first words, names of options and lines, workings.

    In the same order for each language, so that a text still standing as it was drafted can be said in another.
    """
    shoot, card, said = estimate.shoot, card_of(estimate), copy(estimate)
    said.language = language
    found = [opening_of(shoot, language)]
    options = list(EstimateOption.objects.filter(estimate=estimate).order_by("letter"))
    for option in options:
        option.estimate = said
    planned = [size_asked(option, card) for option in options]
    sizes = [
        replace(size, on_set=_own_days(option) or size.on_set) for option, size in zip(options, planned, strict=True)
    ]
    for option, size in zip(options, sizes, strict=True):
        found.append(option_title(size.pictures, language))
        found += [size_title(which, size.pictures, language) for which in ("smaller", "asked", "larger")]
        found += [size_in_words(size, each, language) for each in sizes]
        lines = draft_lines(shoot, option, card, language, on_set=_own_days(option))
        lines += [optional_line(option, item, card, said) for item in optional_items_of(option)]
        found += [line[name] for line in lines for name in ("what", "working")]
    return found


def opening_of(shoot: Shoot, language: str) -> str:
    """The first words to whoever ordered the shoot."""
    orderer = shoot.client.parts.filter(orders=True).select_related("person").first()
    name = orderer.person.name.split()[0] if orderer else shoot.client.name
    return opening_in_words(name, shoot.title, shoot.first_on, language, last=shoot.last_on)


def _own_days(option: EstimateOption) -> Decimal | None:
    """The days on set of an option's own lines; None where it has none."""
    worth = {LineKind.SHOOTING_DAY: Decimal(1), LineKind.HALF_DAY: Decimal("0.5")}
    return sum((worth.get(line.kind, ZERO) * line.quantity for line in option.lines.all()), ZERO) or None


def added_fee(option: EstimateOption, item: OptionItem, usage: Card, estimate: Estimate) -> tuple[Fee, Decimal] | None:
    """The fee of an option with an optional use, and what that use adds to the fee without it: never more than its fee alone.

    None while one of the two cannot be priced.
    """
    without, together = licence_fee(option, usage, estimate), licence_fee(option, usage, estimate, also=(item,))
    return (together, together.fee - without.fee) if without and together else None


def optional_line(option: EstimateOption, item: OptionItem, card: RateCard, estimate: Estimate) -> dict[str, Any]:
    """The line of a use the client may add, priced as what it adds; 0 while it cannot be priced."""
    language, found = estimate.language, added_fee(option, item, usage_card(card), estimate)
    use = use_sentence(licence_words(item, estimate), language) if has_use(item) else ""
    fee, added = found or (None, ZERO)
    media = media_in_words(item.use_media, language) if item.use_media else ""
    return {
        "kind": LineKind.USAGE, "what": added_name(media, language)[:120], "quantity": Decimal(1), "unit": "", "item": item, "is_optional": True,
        "working": added_working(use, fee, added, card.currency, language), "figures": fee_data(fee) if fee else {},
        **price_fields(added, estimate),
    }  # fmt: skip


@dataclass(frozen=True, slots=True)
class Repriced:
    """One line, or the rate of the terms in the field ``term``, by another card or in another money: own amounts, and the price as offered."""

    name: str
    own_before: Decimal
    own_after: Decimal
    price: Price
    line: EstimateLine | None = None
    term: str = ""

    @property
    def is_changed(self) -> bool:
        return self.own_before != self.own_after


def repriced(estimate: Estimate, *, to_card: RateCard, to_rate: Decimal | None) -> list[Repriced]:
    """Every price of a draft by ``to_card``, in the money of which the studio's own buys ``to_rate`` (None: its own money).

    A price that is its card's goes with the card, a licence whose fee is its card's is reckoned anew; what the photographer typed stays.
    ``estimate`` comes from ``estimate_in_full``.
    """
    card, rate = card_of(estimate), estimate.currency_rate
    old, new = ({name: getattr(each, name) for name in _rate_names(each)} for each in (card, to_card))
    is_other_card = usage_card(card) != usage_card(to_card) or old != new
    found = []
    for option in estimate.options.all():
        fees = [licence_fee(option, usage_card(each), estimate) for each in (card, to_card)] if is_other_card else []
        for line in option.lines.all():
            own = own_price(Price(line.unit_price, line.own_price), rate)
            after = by_new_card(line.kind, own, old, new)
            if line.kind == LineKind.USAGE and fees:
                before, now = (
                    _fee_by(line, option, fee, each, estimate) for fee, each in zip(fees, (card, to_card), strict=True)
                )
                after = now if now is not None and own == before else own
            found.append(Repriced(f"{option.letter}: {line.what}", own, after, price_in(after, to_rate), line=line))
    for name, of_card in TERM_RATES.items():
        own_kept = estimate.own_terms.get(name)
        own = own_price(Price(getattr(estimate, name), Decimal(own_kept) if own_kept else None), rate)
        after = new[of_card] if own == old[of_card] else own
        label = str(Estimate._meta.get_field(name).verbose_name)
        found.append(Repriced(with_capital(label), own, after, price_in(after, to_rate), term=name))
    return found


def _fee_by(
    line: EstimateLine, option: EstimateOption, fee: Fee | None, card: RateCard, estimate: Estimate
) -> Decimal | None:
    """What a card asks for a licence's line: ``fee``, or what the line's optional use adds to it."""
    item = next((each for each in optional_items_of(option) if each.pk == line.item_id), None)
    if item is None:
        return fee.fee if fee else None
    found = added_fee(option, item, usage_card(card), estimate)
    return found[1] if found else None


def _rate_names(card: RateCard) -> list[str]:
    return [field.name for field in card._meta.concrete_fields if field.name.endswith("_rate")]


def price_fields(own: Decimal, estimate: Estimate) -> dict[str, Decimal | None]:
    """The price of a line, an amount of the studio's money, as the estimate's line keeps it."""
    price = price_in(own, estimate.currency_rate)
    return {"unit_price": price.shown, "own_price": price.own}


def wider_uses(option: EstimateOption, estimate: Estimate) -> tuple[WiderUse, ...]:
    """The wider uses that cost no more: Europe for Germany, Austria and Switzerland. None where the photographer asks another price than the card's."""
    fee = licence_fee(option, usage_card(card_of(estimate)), estimate)
    prices = [
        own_price(Price(line.unit_price, line.own_price), estimate.currency_rate)
        for line in option.lines.all()
        if line.kind == LineKind.USAGE and line.item_id is None and line.quantity == 1
    ]
    if fee is None or fee.fee not in prices:
        return ()
    return wider_by_fee(fee, items_of(option))
