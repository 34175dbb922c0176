from collections.abc import Mapping
from copy import copy
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from typing import Any

from billing.budgets.fitting import MOST_PICTURES, Ask, largest_uses, most_pictures
from billing.budgets.margin import Margin, margin_of
from billing.costs.queries import LivingRate, living_rate
from billing.estimates.adding_up import offered_line, sums_with
from billing.estimates.models import Estimate, EstimateLine, EstimateOption, LineKind
from billing.estimates.queries import card_of, finishing_lines, has_use, licence_fee, licence_words, price_fields
from billing.estimates.repricing import price_in
from billing.estimates.snapshot import AcceptedShown
from billing.rates.card import Card
from billing.rates.models import RateCard
from billing.rates.queries import usage_card
from shoots.uses.sentences import use_sentence
from shoots.uses.shipped import IN_FORCE

MOST_USES_SHOWN = 6


@dataclass(frozen=True, slots=True)
class Fit:
    """One way to stay within the budget: what it changes in the option, its use in words, and what it comes to with tax."""

    ask: Ask
    changes: Mapping[str, Any]
    words: str
    gross: Decimal


@dataclass(frozen=True, slots=True)
class Fits:
    """What fits: the option as it is, with the most pictures, and with the largest uses. ``pictures`` None: not one picture fits."""

    gross: Decimal
    is_within: bool
    pictures: Fit | None
    uses: tuple[Fit, ...]
    more_uses: int


def what_fits(estimate: Estimate, option: EstimateOption, budget: Decimal) -> Fits:
    """What of this option fits a sum with tax. ``estimate`` comes from ``estimate_in_full``, the option with its lines from it.

    Finishing and licence are reckoned for every way tried, by the estimate's card; the other lines, the discount and the tax stay.
    """
    card = card_of(estimate)
    usage = usage_card(card)
    lines = [line for line in option.lines.all() if not line.is_optional]
    gross = sums_with(estimate, lines, option).gross
    if not has_use(option) or not option.pictures_count:
        return Fits(gross, gross <= budget, None, (), 0)
    asked = Ask(
        option.pictures_count,
        frozenset(option.use_media),
        frozenset(option.use_territories),
        option.use_months,
        option.exclusivity,
    )
    known: dict[Ask, Decimal | None] = {}

    def total_of(ask: Ask) -> Decimal | None:
        if ask not in known:
            known[ask] = _total(estimate, option, lines, card, usage, ask)
        return known[ask]

    def fit(ask: Ask) -> Fit:
        changed = _changed(option, ask)
        words = use_sentence(licence_words(changed, estimate), "en")
        return Fit(ask, _changes(option, changed), words, total_of(ask) or Decimal(0))

    count = most_pictures(asked, total_of, budget, at_most=MOST_PICTURES)
    home = frozenset({estimate.shoot.licensee.country})
    narrower = (
        [home] if estimate.shoot.licensee.country in IN_FORCE.territories and _lies_in(home, asked.territories) else []
    )
    uses = largest_uses(asked, total_of, budget, narrower=narrower, inside=_lies_in)
    as_asked = uses == (asked,)
    return Fits(
        gross=gross,
        is_within=gross <= budget,
        pictures=fit(Ask(count, asked.media, asked.territories, asked.months, asked.exclusivity)) if count else None,
        uses=() if as_asked else tuple(fit(each) for each in uses[:MOST_USES_SHOWN]),
        more_uses=0 if as_asked else max(0, len(uses) - MOST_USES_SHOWN),
    )


def _lies_in(some: frozenset[str], others: frozenset[str]) -> bool:
    return not IN_FORCE.territories.mask(some) & ~IN_FORCE.territories.mask(others)


def _changed(option: EstimateOption, ask: Ask) -> EstimateOption:
    """A copy of the option that asks for this; never saved."""
    changed = copy(option)
    changed.pictures_count = ask.pictures
    changed.use_media = [code for code in option.use_media if code in ask.media]
    changed.use_territories = [code for code in IN_FORCE.territories.nodes if code in ask.territories]
    changed.use_months, changed.exclusivity = ask.months, ask.exclusivity
    if ask.exclusivity == "none":
        changed.exclusive_months = None
    elif changed.exclusive_months and ask.months:
        changed.exclusive_months = min(changed.exclusive_months, ask.months)
    return changed


def _changes(option: EstimateOption, changed: EstimateOption) -> dict[str, Any]:
    names = ("pictures_count", "use_media", "use_territories", "use_months", "exclusivity", "exclusive_months")
    return {name: getattr(changed, name) for name in names if getattr(changed, name) != getattr(option, name)}


def _total(
    estimate: Estimate, option: EstimateOption, lines: list[EstimateLine], card: RateCard, usage: Card, ask: Ask
) -> Decimal | None:
    changed = _changed(option, ask)
    fee = licence_fee(changed, usage, estimate)
    if fee is None:
        return None
    # As they are reckoned anew when the option is saved: the first line of the licence, and every drafted line of finishing.
    usage_line = next((line for line in lines if line.kind == LineKind.USAGE), None)
    priced = []
    for line in lines:
        anew = copy(line)
        if line is usage_line:
            anew.quantity, anew.unit_price = Decimal(1), price_in(fee.fee, estimate.currency_rate).shown
        if not (line.kind == LineKind.FINISHING and line.finishing):
            priced.append(anew)
    return sums_with(estimate, [*priced, *_finishing(estimate, changed, card, lines)], changed).gross


def _finishing(
    estimate: Estimate, changed: EstimateOption, card: RateCard, lines: list[EstimateLine]
) -> list[EstimateLine]:
    drafted = {line.finishing: line for line in lines if line.kind == LineKind.FINISHING and line.finishing}
    found = []
    for each in finishing_lines(changed, card, estimate.language) if drafted else []:
        known = drafted.get(each["finishing"])
        anew = (
            copy(known)
            if known
            else EstimateLine(kind=LineKind.FINISHING, **price_fields(each["unit_price"], estimate))
        )
        anew.quantity = each["quantity"]
        found.append(anew)
    return found


@dataclass(frozen=True, slots=True)
class OptionMargin:
    """The margin of one option: without its optional lines, or of what was accepted."""

    name: str
    margin: Margin


def margins_of(
    estimate: Estimate, accepted: AcceptedShown | None, on: date
) -> tuple[LivingRate | None, list[OptionMargin]]:
    """What is left of each option after costs and the days it takes; of the option taken once it is accepted.

    No margin without a rate to live on, or where that is in another currency than the estimate and the card it is reckoned by.
    """
    rate = living_rate(on)
    if rate is None:
        return None, []
    day = rate.day
    if rate.currency != estimate.currency:
        if rate.currency != estimate.card.get("currency") or not estimate.currency_rate:
            return rate, []
        day = price_in(rate.day, estimate.currency_rate).shown
    if accepted is not None:
        taken: list[tuple[str, list[Any], Any]] = [
            (accepted.option.name, list(accepted.taken), accepted.sums.net + accepted.sums.untaxed)
        ]
    else:
        taken = []
        for option in estimate.options.all():
            lines = [line for line in option.lines.all() if not line.is_optional]
            sums = sums_with(estimate, lines, option)
            taken.append((str(option), lines, sums.net + sums.untaxed))
    return rate, [
        OptionMargin(
            name,
            margin_of(
                [(offered_line(line), line.unit) for line in lines],
                net=net,
                day_to_live_on=day,
                hours_in_day=estimate.hours_in_day,
            ),
        )
        for name, lines, net in taken
    ]
