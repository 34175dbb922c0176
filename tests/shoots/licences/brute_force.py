"""The slow, obvious reading of licences: every question answered by listing cells, a cell being (class, medium leaf, territory leaf,
day). Written apart from the engine: it reads the fields of a licence and the list of nodes, and calls nothing of the product.
"""

from datetime import date, timedelta
from functools import cache

FIRST = date(2027, 1, 1)
HORIZON = 260  # days listed one by one; no day that a test uses lies later
FOR_EVER = 10_000  # one more day stands for all days after the horizon


@cache
def leaf_set(nodes, codes):
    found = set()
    for code in codes:
        node = next(each for each in nodes if each.code == code)
        children = [each.code for each in nodes if each.parent == code]
        found |= leaf_set(nodes, frozenset(children))
        if not children:
            found.add(code)
        elif not node.exhaustive:
            found.add("rest of " + code)
    return found


@cache
def day_set(first, until):
    days = {
        day
        for day in range(HORIZON)
        if FIRST + timedelta(day) >= first and (until is None or FIRST + timedelta(day) < until)
    }
    return frozenset(days | {FOR_EVER} if until is None else days)


def days_before(until):
    return day_set(FIRST, until)


def cell_set(world, thing, days):
    media, territories = world
    return {
        (name, medium, territory, day)
        for name in thing.classes
        for medium in leaf_set(media, thing.media)
        for territory in leaf_set(territories, thing.territories)
        for day in days
    }


@cache
def space_of(world, thing):
    return {cell[:3] for cell in cell_set(world, thing, {0})}


# States, as the table of states says them.
def state_it_had(grant):
    if grant.state == "superseded":
        return grant.left
    return "paid" if grant.state == "revoked" else grant.state


def blocks(grant):
    return grant.state in {"accepted", "paid", "revoked", "superseded"}


@cache
def standing_days(grant):
    days = day_set(grant.use_from, grant.use_until)
    return days if grant.cut_on is None else days & days_before(grant.cut_on)


def covered_days(grant):
    days = standing_days(grant)
    state = state_it_had(grant)
    if state == "accepted":
        if grant.begins == "on_payment" or (grant.begins == "on_delivery" and grant.delivered_on is None):
            return frozenset()
        days &= day_set(grant.begins_on if grant.begins == "on_date" else grant.delivered_on, None)
        if grant.lapses_on is not None:
            days &= days_before(grant.lapses_on)
    elif state != "paid":
        return frozenset()
    if grant.embargo_until is not None:
        days &= day_set(grant.embargo_until, None)
    return days


@cache
def exclusive_days(grant):
    if grant.exclusivity == "none":
        return frozenset()
    days = standing_days(grant)
    return days if grant.exclusive_until is None else days & days_before(grant.exclusive_until)


def conflict(world, one, other):
    if one.licensee == other.licensee or not one.pictures & other.pictures or not (blocks(one) and blocks(other)):
        return False
    for x, y in ((one, other), (other, one)):
        meant = x.exclusivity == "picture" or None in (x.trade, y.trade) or x.trade == y.trade
        if meant and cell_set(world, x, exclusive_days(x)) & cell_set(world, y, standing_days(y)):
            return True
    return False


def enough_copies(grant, use):
    return use.copies is None or grant.copies is None or use.copies <= grant.copies - grant.copies_used


def missing_cells(world, use, grants):
    wanted = cell_set(world, use, day_set(use.use_from, use.use_until))
    for grant in grants:
        if enough_copies(grant, use):
            wanted -= cell_set(world, grant, covered_days(grant))
    return wanted


def later(day, months):
    """The same day number, so many months later, else the first of the month after: by walking the calendar."""
    year, month = day.year, day.month
    for _ in range(months):
        year, month = (year + 1, 1) if month == 12 else (year, month + 1)
    try:
        return date(year, month, day.day)
    except ValueError:
        return date(year + 1, 1, 1) if month == 12 else date(year, month + 1, 1)


def wish_fits(world, wish, day, grants):
    """The ids of the licences that stand against the wish starting on `day`."""
    until = None if wish.months is None else later(day, wish.months)
    days = day_set(day, until)
    if wish.exclusivity == "none":
        own_days = frozenset()
    else:
        own_days = days if wish.exclusive_months is None else days & days_before(later(day, wish.exclusive_months))
    against = []
    for grant in grants:
        if grant.licensee == wish.licensee or not blocks(grant):
            continue
        space = space_of(world, grant) & space_of(world, wish)
        named = None in (grant.trade, wish.trade) or grant.trade == wish.trade
        shut_by_wish = own_days & standing_days(grant) and (wish.exclusivity == "picture" or named)
        shut_by_grant = exclusive_days(grant) & days and (grant.exclusivity == "picture" or named)
        if space and (shut_by_wish or shut_by_grant):
            against.append(grant.id)
    return sorted(against)
