"""Loading the demo: a year of work, done by the same actions that people use, one after the other as the days went by."""

import fcntl
import shutil
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

from django.conf import settings
from django.db import transaction
from django.utils.crypto import get_random_string

from billing.costs.actions import save_cost_year
from billing.estimates.actions import (
    OptionEdit,
    add_changed_option,
    add_item,
    add_option,
    draft_estimate,
    revise_estimate,
    save_estimate,
)
from billing.estimates.models import Estimate, EstimateLine, LineKind
from billing.expenses.actions import record_expense, record_journey
from billing.invoices.actions import cancel_by_credit_note, send_invoice
from billing.invoices.models import Invoice
from billing.months.actions import run_month
from billing.orders.actions import accept_estimate, ask_question, call_off_shoot, decline_estimate, send_estimate
from billing.payments.actions import record_payment, remind_of_invoice
from billing.rates.actions import set_mileage_rate, set_rates
from billing.rates.models import RATE_FIELDS
from billing.rates.queries import starting_rates
from clients.actions import add_client, add_kitchen, add_person, add_trade, change_client, set_parts
from clients.models import Client, Kitchen, Person
from shared.access.actions import invite_person, make_owner, set_password_by_link
from shared.access.models import Role, User
from shared.access.queries import books_have_an_owner
from shared.business.actions import start_profile
from shared.business.models import BusinessProfile
from shared.files.actions import keep_file
from shared.outbox.actions import work_once
from shared.outbox.models import Job
from shoots.brief.actions import (
    add_dish,
    add_dishes,
    agree_selling_on,
    cancel_shoot,
    give_part,
    mark_shot,
    open_shoot,
    use_correction_round,
    want_pictures,
)
from shoots.brief.models import Dish, Part, Shoot
from shoots.day.actions import ok_shot, press_take
from shoots.delivery.actions import deliver_pictures, receive_delivery
from shoots.delivery.models import Delivery
from shoots.found.actions import Upload, record_use
from shoots.licences.actions import (
    LicenceConflict,
    accept_licence,
    grant_licence,
    offer_licence,
    place_licence,
)
from shoots.licences.models import Licence
from shoots.life.actions import decline_licence, report_copies
from shoots.light.actions import add_camera, add_lens
from shoots.pictures.actions import (
    check_pictures,
    choose_pictures,
    describe_picture,
    name_person,
    name_property,
    say_nobody_is_shown,
    say_nothing_is_shown,
    take_in_picture,
)
from shoots.pictures.models import Picture, Recognisable
from shoots.plan.actions import (
    change_shot,
    make_shot_list,
    remove_shot,
    say_nothing_substituted,
    send_call_sheet,
    send_cook_sheet,
    tell_allergens,
)
from shoots.plan.moments import worth_a_picture
from shoots.plan.queries import moment_draft
from shoots.recipes.actions import add_own_kind, learn_word, read_recipe_into, remove_moment, talk_recipe_through
from shoots.releases.actions import offer_release, refuse_release, show_release, sign_release, withdraw_release
from shoots.releases.models import Release
from shoots.shopping.actions import (
    add_purchases,
    change_prop,
    change_purchases,
    make_props,
    set_dish_shopping,
    set_takes,
    write_shopping,
)
from shoots.shopping.queries import shoot_for_shopping, shopping_of
from studio.demo.cast import ASSISTANT, BUSINESS, HOUSES, STUDIO, STYLIST, TRADES
from studio.demo.costs import costs_of_year, year_values
from studio.demo.drawings import draw_picture, forget_painted
from studio.demo.jobs import (
    OFFICE_COSTS,
    PICTURES_IN_ALL,
    SHOOTS,
    WINTER_ALLERGENS,
    WINTER_DISHES,
    WINTER_FRAMES,
    WINTER_PICTURES,
    Cost,
    DemoShoot,
    advertising,
    own,
    share_of,
)
from studio.demo.provisions import (
    WINTER_LEFT,
    WINTER_LENT,
    WINTER_LINES,
    WINTER_OWN_LINES,
    WINTER_PRICES,
    WINTER_PROPS,
    WINTER_TABLE,
    WINTER_TAKES,
)
from studio.demo.recipes import RECIPES
from studio.demo.stationery import COOK_SIGNATURE, draw_logo, draw_page, draw_receipt, draw_signature
from studio.demo.year import ZONE, begins_on, exact_day, moment, work_day

OWNER = BUSINESS["legal_name"]
LOG_INS = (
    ("tindra", OWNER, Role.OWNER),
    ("jorun", ASSISTANT.name, Role.ASSISTANT),
    ("ledger", "Osric Tally", Role.ACCOUNTANT),
)
VIEWS = {  # how a picture is wanted, in the client's language
    "en": ("from above", "from the side", "close", "with hands out of the picture"),
    "de": ("von oben", "von der Seite", "nah", "ohne Hände im Bild"),
}
CLAY_POTS = "The clay pots of the house"
PEOPLE_SUBJECTS = {"cook": "Maro Lantadze", "hands": "Matteo Linden"}
PAINTED_EACH = (
    4  # arrangements of a subject that are painted; more pictures of it show one of these again, at another hour
)
WIDTH, HEIGHT = 720, 480


@dataclass(frozen=True, slots=True)
class LogIn:
    """How somebody of the demo signs in."""

    name: str
    role: str
    password: str


def demo_is_loaded() -> bool:
    """Whether these books hold the demo, whole: people to sign in are made with it in one transaction."""
    return books_have_an_owner()


@contextmanager
def only_one_loads(folder: Path) -> Iterator[None]:
    """Two demos started together must not both load: the second waits, then finds the books loaded."""
    with (folder / "loading.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        yield


def prepare_log_ins(folder: Path) -> tuple[list[LogIn], bool]:
    """New passwords in ``log-in.txt``, readable by the owner of the folder alone, and whether a load before this one was cut short.

    Files that such a load has kept are nobody's: its rows went with its transaction.
    """
    marker = folder / "loading"
    was_cut_short = marker.exists()
    if was_cut_short:
        shutil.rmtree(settings.FILES_FOLDER, ignore_errors=True)
    marker.touch(mode=0o600)
    made = [LogIn(name, role, get_random_string(14, "abcdefghjkmnpqrstuvwxyz23456789")) for name, _, role in LOG_INS]
    file = folder / "log-in.txt"
    file.unlink(missing_ok=True)
    file.touch(mode=0o600)
    file.write_text("".join(f"{each.role}\t{each.name}\t{each.password}\n" for each in made))
    return made, was_cut_short


def read_log_ins(folder: Path) -> list[LogIn]:
    """What ``log-in.txt`` says; empty when somebody took it away."""
    file = folder / "log-in.txt"
    rows = [line.split("\t") for line in file.read_text().splitlines()] if file.exists() else []
    return [LogIn(name, role, password) for role, name, password in rows]


def finish_load(folder: Path) -> None:
    """The books are whole: nothing is started over from now on."""
    (folder / "loading").unlink(missing_ok=True)


def load_demo(
    *,
    on: date,
    log_ins: list[LogIn],
    pictures: int = PICTURES_IN_ALL,
    width: int = WIDTH,
    height: int = HEIGHT,
    tell: Callable[[int], object] = lambda _tenths: None,
) -> None:
    """Load the demo's year, ending on ``on``, all or nothing: one transaction, people to sign in with it.

    ``pictures`` are shared out among the shoots that have any. ``tell`` hears each tenth of the year that is done, 1 to 10. Raises what an action refuses, which would be a fault of the demo.
    """
    with transaction.atomic():
        year = _Year(on=on, pictures=pictures, width=width, height=height)
        _open_books(year, log_ins)
        for shoot in SHOOTS:
            _plan_shoot(year, shoot)
        _plan_the_rest(year)
        year.play(tell)
        undone = Job.objects.filter(done_at=None).first()
        if undone is not None:
            raise RuntimeError(f"The demo left work undone: {undone.kind}, {undone.problem}")
    forget_painted()


@dataclass
class _Year:
    """What is to happen when, and what has come of it so far."""

    on: date
    pictures: int
    width: int
    height: int
    events: list[tuple[tuple[int, str], Callable[[datetime], object]]] = field(default_factory=list)
    clients: dict[str, Client] = field(default_factory=dict)
    people: dict[str, Person] = field(default_factory=dict)
    kitchens: dict[str, Kitchen] = field(default_factory=dict)
    shoots: dict[str, Shoot] = field(default_factory=dict)
    estimates: dict[str, Estimate] = field(default_factory=dict)
    invoices: dict[str, Invoice] = field(default_factory=dict)
    releases: dict[str, Release] = field(default_factory=dict)
    licences: dict[str, Licence] = field(default_factory=dict)
    deliveries: dict[str, Delivery] = field(default_factory=dict)

    def plan(self, offset: int, clock: str, deed: Callable[[datetime], object]) -> None:
        """Something happens on the weekday of an offset."""
        self.events.append(((offset, clock), deed))

    def play(self, tell: Callable[[int], object]) -> None:
        """Everything in the order it is planned; the rooms above hear of it in the same moment.

        What a week-end moves onto a Friday comes after what is planned for that Friday, so no weekday of loading turns two deeds round.
        """
        at = moment(begins_on(self.on), "00:00")
        for number, ((offset, clock), deed) in enumerate(sorted(self.events, key=lambda event: event[0]), 1):
            at = max(moment(work_day(self.on, offset), clock), at + timedelta(minutes=1))
            deed(at)
            while work_once(at):
                pass
            if number * 10 // len(self.events) > (number - 1) * 10 // len(self.events):
                tell(number * 10 // len(self.events))

    def shoot(self, key: str) -> Shoot:
        return Shoot.objects.get(pk=self.shoots[key].pk)

    def estimate(self, key: str) -> Estimate:
        return Estimate.objects.get(pk=self.estimates[key].pk)

    def licence(self, key: str) -> Licence:
        return Licence.objects.get(pk=self.licences[key].pk)

    def chosen(self, key: str) -> list[Picture]:
        found = self.shoots[key].pictures.filter(state=Picture.State.CHOSEN)
        return list(found.select_related("shoot").order_by("pk"))


# The books, their people, the houses


def _open_books(year: _Year, log_ins: list[LogIn]) -> None:
    first = begins_on(year.on)
    at = moment(first, "08:00")
    logo = keep_file(draw_logo(), name="logo.png", kind="logo", at=at)
    signature = keep_file(draw_signature(), name="signature.png", kind="signature", at=at)
    start_profile(BusinessProfile(valid_from=first, logo=logo, signature=signature, **BUSINESS), at=at)
    _make_people(log_ins, at)
    add_camera(name="Main body", long_mm=36, short_mm=24, pixels=8256)
    for focal, widest, nearest in ((35, "1.8", 27), (50, "1.4", 45), (90, "2.8", 29)):
        add_lens(name=f"{focal} mm", shortest_mm=focal, longest_mm=focal, widest=Decimal(widest), nearest_cm=nearest)
    for since, raised in ((first, 0), (date(year.on.year, 1, 1), 20)):
        if since == first and raised:
            continue
        card = starting_rates(since)
        values = {name: getattr(card, name) for name in RATE_FIELDS}
        set_rates({**values, "day_rate": Decimal(760 + raised), "valid_from": since})
    for each in range(first.year, year.on.year + 1):
        values = year_values(each, since=first)
        save_cost_year(values, costs_of_year(each, since=first), year=each, by="Tindra Aldermoor", at=at)
    set_mileage_rate({
        "name": "Car", "valid_from": first, "unit": "km", "rate": Decimal("0.30"), "threshold": None, "rate_above": None,
        "source": "from memory; ask your tax adviser",
    })  # fmt: skip
    for name, names in TRADES.items():
        add_trade(name, names=names)
    for house in HOUSES:
        client = year.clients[house.key] = add_client(name=house.name, **house.fields)
        for somebody in house.people:
            person = add_person(
                name=somebody.name,
                email=somebody.email,
                phone=somebody.phone,
                language=somebody.language,
                kitchen_language=somebody.at_the_stove,
            )
            year.people[somebody.name] = person
            set_parts(client, person=person, parts=somebody.said)
        if house.kitchen:
            typed = dict(house.kitchen)
            year.kitchens[house.key] = add_kitchen(client=client, key_holder=year.people[typed.pop("key")], **typed)
    year.kitchens["studio"] = add_kitchen(**STUDIO)
    for somebody in (ASSISTANT, STYLIST):
        year.people[somebody.name] = add_person(name=somebody.name, email=somebody.email, phone=somebody.phone)


def _make_people(log_ins: list[LogIn], at: datetime) -> None:
    for log_in, (name, full_name, role) in zip(log_ins, LOG_INS, strict=True):
        email = f"{name}@aldermoor.example"
        if role == Role.OWNER:
            person = make_owner(name=full_name, email=email, password=log_in.password)
        else:
            person, message = invite_person(name=full_name, email=email, role=role, language="en", at=at)
            set_password_by_link(person, log_in.password, link=message.link, at=at)
        User.objects.filter(pk=person.pk).update(username=name)


# One shoot


def _plan_shoot(year: _Year, job: DemoShoot) -> None:
    opened = (job.day if job.day is not None else 0) - job.lead
    if job.key == "winter":
        _plan_winter(year, job, opened)
        return
    year.plan(opened, "09:00", lambda at: _open(year, job, at))
    year.plan(opened + 1, "10:00", lambda at: _draft(year, job, at))
    if job.estimate == "draft":
        return
    year.plan(opened + 2, "11:00", lambda at: _send(year, job, at))
    if job.estimate == "sent":
        return
    if job.estimate == "declined":
        year.plan(opened + 6, "15:00", lambda at: _decline(year, job, at))
        return
    year.plan(opened + 6, "15:00", lambda at: _accept(year, job, at))
    if job.deposit and "deposit_unpaid" not in job.tags:
        year.plan(opened + 11, "14:00", lambda at: _pay(year.estimate(job.key).invoices.get(kind="deposit"), "1", at))
    if "called_off" in job.tags:
        year.plan(-3, "10:00", lambda at: _call_off(year, job, at))
    if "weather" in job.tags:
        year.plan(-8, "10:00", lambda at: _put_off(year, job, at))
    if job.day is None or job.state not in {"shot", "delivered"}:
        return
    last = job.day + job.days - 1
    for number, cost in enumerate(job.costs):
        year.plan(job.day - 1, f"12:{10 + number}", lambda at, cost=cost: _spend(year, job, cost, at))
    if job.journey:
        year.plan(job.day, "08:10", lambda at: _travel(year, job, at))
    if "on_set" in job.tags:
        year.plan(job.day, "10:00", lambda at: _work_on_set(year, job, at))
    year.plan(last, "16:00", lambda at: mark_shot(year.shoot(job.key), shot_on=at.date(), at=at, by=OWNER))
    year.plan(last, "17:00", lambda at: _take_in(year, job, at))
    if "new_pictures" not in job.tags:
        year.plan(last + 1, "20:00", lambda _at: _choose(year, job))
    if "part_delivered" in job.tags:
        year.plan(last + 4, "09:30", lambda at: _place(year, job, at))
        year.plan(last + 5, "12:00", lambda at: _deliver(year, job, at, only_ready=True))
    if job.state != "delivered":
        return
    delivered = last + job.delivered
    year.plan(delivered - 1, "09:30", lambda at: _place(year, job, at))
    year.plan(delivered, "12:00", lambda at: _deliver(year, job, at))
    if job.receives:
        year.plan(delivered, "18:40", lambda at: _receive(year, job, at))
    if job.billed is None:
        return
    billed = delivered + job.billed
    year.plan(billed, "13:00", lambda at: _bill(year, job, at))
    for days, share in job.paid:
        year.plan(billed + days, "14:00", lambda at, share=share: _pay(year.invoices[job.key], share, at))


def _open(year: _Year, job: DemoShoot, at: datetime) -> Shoot:
    client = year.clients[job.house]
    first = None if job.day is None else work_day(year.on, job.day)
    if job.key == "winter":
        first = exact_day(year.on, job.day or 0)
    last = first + timedelta(days=job.days - 1) if first and job.days > 1 else None
    shoot = open_shoot(
        client, title=job.title, use=_with_copies(job.use), at=at, by=OWNER,
        licensee=year.clients[job.licensee] if job.licensee else None, kitchen=year.kitchens[job.place], brief=job.brief,
        first_on=first, last_on=last, from_time=time(9), until_time=time(16), order_number=job.order_number,
    )  # fmt: skip
    year.shoots[job.key] = shoot
    if job.subjects:
        dishes = add_dishes(shoot, names=[name for _, name in job.subjects])
        for number in range(job.agreed):
            dish = dishes[number % len(dishes)]
            views = VIEWS[client.language]
            want_pictures(shoot, titles=[f"{dish.name}, {views[number // len(dishes) % len(views)]}"], dish=dish)
    return shoot


def _with_copies(use: dict[str, Any]) -> dict[str, Any]:
    """A counted print use needs a number of copies before it can be priced."""
    counted = any(medium.startswith("print") for medium in use["use_media"])
    return {**use, "use_copies": use["use_copies"] or 5000} if counted else use


def _draft(year: _Year, job: DemoShoot, at: datetime) -> None:
    shoot = year.shoot(job.key)
    for house in HOUSES:
        if house.key == job.house:
            for somebody in house.people:
                part = Part.COOK if "c" in somebody.parts else Part.DECIDES if "a" in somebody.parts else ""
                if part:
                    give_part(shoot, person=year.people[somebody.name], part=part)
    if "stylist" in job.tags:
        give_part(
            shoot, person=year.people[STYLIST.name], part=Part.FOOD_STYLIST, brings="Tweezers, glycerine, own knives"
        )
    estimate = draft_estimate(shoot, at=at)
    if job.selling_on in {"free", "not_to", "after"}:
        agree_selling_on(
            shoot, selling_on=job.selling_on, at=at, by=OWNER, note="Said on the phone",
            after=exact_day(year.on, -150) if job.selling_on == "after" else None, not_to=("grocer",) if job.selling_on == "not_to" else (),
        )  # fmt: skip
    year.estimates[job.key] = _save(estimate, job, at)


def _save(estimate: Estimate, job: DemoShoot, at: datetime) -> Estimate:
    """Deposit as agreed, and a line for groceries that is never more than its cap."""
    if not job.deposit:
        estimate.deposit_percent = Decimal(0)
    option = estimate.options.get(letter="A")
    lines = list(option.lines.order_by("order", "pk"))
    if job.at_most:
        words = (
            ("Lebensmittel und Requisiten", "Zum Einkaufspreis, nie mehr als dies")
            if estimate.language == "de"
            else ("Groceries and props", "At cost, never more than this")
        )
        lines.append(
            EstimateLine(
                kind=LineKind.FOOD_AND_PROPS,
                what=words[0],
                working=words[1],
                quantity=Decimal(1),
                unit_price=Decimal(job.at_most),
                is_at_most=True,
                is_at_cost=True,
            )
        )
    edit = OptionEdit(option, list(option.pictures.all()), lines)
    return save_estimate(estimate, fields=["deposit_percent"], version=estimate.version, options=[edit], at=at)


def _orders(year: _Year, job: DemoShoot) -> Person:
    part = year.clients[job.house].parts.filter(orders=True).select_related("person").first()
    return part.person


def _send(year: _Year, job: DemoShoot, at: datetime) -> None:
    person = _orders(year, job)
    estimate = year.estimate(job.key)
    signed_by = OWNER if estimate.options.exclude(exclusivity="none").exists() else ""
    year.estimates[job.key] = send_estimate(estimate, to=person.email, to_name=person.name, at=at, signed_by=signed_by)


def _accept(year: _Year, job: DemoShoot, at: datetime, letter: str = "A") -> None:
    """Takes an option, with the use that may be added to it."""
    estimate, person = year.estimate(job.key), _orders(year, job)
    added = EstimateLine.objects.filter(option__estimate=estimate, option__letter=letter, item__isnull=False)
    accept_estimate(
        estimate, letter=letter, keys=[str(line.pk) for line in added], name=person.name, role="Orders", order_number=job.order_number, at=at,
    )  # fmt: skip
    year.licences[job.key] = Licence.objects.filter(origin=f"estimate:{estimate.pk}").earliest("pk")


def _decline(year: _Year, job: DemoShoot, at: datetime) -> None:
    decline_estimate(year.estimate(job.key), reason="Das Heft erscheint erst im nächsten Jahr.", at=at)
    cancel_shoot(year.shoot(job.key), reason="Estimate declined", by=OWNER, at=at)


def _call_off(year: _Year, job: DemoShoot, at: datetime) -> None:
    call_off_shoot(year.estimate(job.key), kind="cancelled", reason="Der Garten wird umgebaut", by=OWNER, at=at)


def _put_off(year: _Year, job: DemoShoot, at: datetime) -> None:
    call_off_shoot(
        year.estimate(job.key), kind="weather", reason="Storm, no ferry to the dairy", by=OWNER, at=at, new_first_on=work_day(year.on, 41)
    )  # fmt: skip


def _spend(year: _Year, job: DemoShoot | None, cost: Cost, at: datetime) -> None:
    day = at.astimezone(ZONE).date()
    as_pdf = cost.kind in {"hire", "people", "kit", "office"}
    receipt = draw_receipt(
        cost.supplier, [(cost.what, cost.gross), ("incl. VAT", cost.tax)], day=day.isoformat(), as_pdf=as_pdf
    )
    line = None
    if job is not None and cost.charge == "at_cost":
        line = year.estimate(job.key).accepted_option.lines.filter(is_at_most=True).first()
    record_expense(
        receipt=receipt, receipt_name=f"receipt-{day.isoformat()}.{'pdf' if as_pdf else 'jpg'}", at=at, kind=cost.kind, what=cost.what,
        supplier=cost.supplier, spent_on=day, gross=Decimal(cost.gross), tax=Decimal(cost.tax), charge=cost.charge, estimate_line=line,
        shoot=year.shoot(job.key) if job else None,
    )  # fmt: skip


def _travel(year: _Year, job: DemoShoot, at: datetime) -> None:
    kitchen = year.kitchens[job.place]
    record_journey(
        at=at, shoot=year.shoot(job.key), travelled_on=at.astimezone(ZONE).date(), from_place=BUSINESS["street"], to_place=kitchen.street,
        distance=Decimal(2 * kitchen.distance_km), rate_name="Car",
    )  # fmt: skip


def _work_on_set(year: _Year, job: DemoShoot, at: datetime) -> None:
    shoot = year.shoot(job.key)
    boat = shoot.dishes.get(name__startswith="Bread boat")
    read_recipe_into(boat, text=RECIPES["Bread boat with egg yolk"])
    make_shot_list(shoot)
    for number, shot in enumerate(shoot.shots.order_by("order", "pk")):
        outcome = "skip" if number == 5 else "done"
        if number == 3:
            press_take(shot, outcome="again", at=at + timedelta(minutes=9 * number - 2), by=OWNER, note="Yolk broke")
        press_take(shot, outcome=outcome, at=at + timedelta(minutes=9 * number), by=OWNER)
        if shot.is_hero:
            say_nothing_substituted(shot)
        if number in {2, 6}:
            ok_shot(shot, name="Maro Lantadze", at=at + timedelta(minutes=9 * number + 1))


def _take_in(year: _Year, job: DemoShoot, at: datetime) -> None:
    shoot = year.shoot(job.key)
    for number in range(share_of(job, year.pictures)):
        subject, title = job.subjects[number % len(job.subjects)]
        taken = at - timedelta(
            minutes=11 * (share_of(job, year.pictures) - number), seconds=zlib.crc32(title.encode()) % 50
        )
        round_ = number // len(job.subjects) + zlib.crc32(job.key.encode())
        data = draw_picture(
            subject,
            seed=1 + round_ % PAINTED_EACH,
            taken_at=taken.astimezone(ZONE),
            width=year.width,
            height=year.height,
            title=title,
        )
        take_in_picture(shoot, data=data, name=f"frame-{number + 1:04d}.jpg", at=at)


def _choose(year: _Year, job: DemoShoot) -> None:
    """Choose as many as were agreed, caption and assess them; the others are left."""
    shoot = year.shoot(job.key)
    taken = list(shoot.pictures.order_by("pk"))
    promised = list(shoot.agreed_pictures.exclude(state="left_out").order_by("order", "pk"))
    for number, (picture, agreed) in enumerate(zip(taken, promised, strict=False)):
        subject, title = job.subjects[number % len(job.subjects)]
        words = {"title": agreed.title, "caption": f"{title}, {shoot.client}", "alt_text": f"{agreed.title} (drawn)"}
        describe_picture(picture, words, agreed=[agreed], version=picture.version)
        _assess(year, job, subject, picture)
    chosen = taken[: len(promised)]
    choose_pictures(taken[len(promised) :], state=Picture.State.LEFT)
    check_pictures(chosen)


def _assess(year: _Year, job: DemoShoot, subject: str, picture: Picture) -> None:
    if subject in PEOPLE_SUBJECTS:
        is_asked = "ask" in job.tags
        name_person(
            [picture],
            year.people[PEOPLE_SUBJECTS[subject]],
            recognisable=Recognisable.ASK if is_asked else Recognisable.YES,
        )
    else:
        say_nobody_is_shown([picture])
    if subject == "room":
        name_property([picture], kitchen=year.kitchens[job.place])
    elif subject == "pot" and job.key == "spring":
        name_property([picture], description=CLAY_POTS)
    else:
        say_nothing_is_shown([picture])


def _place(year: _Year, job: DemoShoot, at: datetime) -> None:
    ticked = year.chosen(job.key)
    if ticked:
        place_licence(year.licence(job.key), pictures=ticked, first_day=at.astimezone(ZONE).date(), at=at)


def _deliver(year: _Year, job: DemoShoot, at: datetime, *, only_ready: bool = False) -> None:
    person = _orders(year, job)
    year.deliveries[job.key] = deliver_pictures(
        year.shoot(job.key), leave_out=not only_ready, only_ready=only_ready, email=person.email, name=person.name, by=OWNER, at=at
    )  # fmt: skip


def _receive(year: _Year, job: DemoShoot, at: datetime) -> None:
    receive_delivery(year.deliveries[job.key], received_by=_orders(year, job).name, at=at)


def _bill(year: _Year, job: DemoShoot, at: datetime) -> None:
    key = f"estimate:{year.estimate(job.key).number}"
    report = run_month(at.astimezone(ZONE).date().replace(day=1), keys={key}, by=OWNER, sends=True, at=at)
    if not report.made:
        raise RuntimeError(f"{job.key} was not billed: {report.failed}")
    year.invoices[job.key] = report.made[0]


def _pay(invoice: Invoice, share: str, at: datetime) -> None:
    paid = sum((payment.amount for payment in invoice.payments.all()), Decimal(0))
    amount = ((invoice.to_pay - paid) * Decimal(share)).quantize(Decimal("0.01"))
    if amount > 0:
        record_payment(invoice, amount=amount, received_on=at.astimezone(ZONE).date(), by=OWNER, at=at)


# The winter menu, two days ahead

WINTER_MENU = {**own(24, "print.menu"), "use_territories": ["DE"], "use_copies": 900}
WINTER_WINDOW = {**own(24, "print.point_of_sale"), "use_territories": ["DE"], "use_copies": 40}


def _plan_winter(year: _Year, job: DemoShoot, opened: int) -> None:
    year.plan(opened, "09:00", lambda at: _open_winter(year, job, at))
    year.plan(opened + 1, "10:00", lambda at: _draft_winter(year, job, at))
    year.plan(opened + 2, "11:00", lambda at: _send(year, job, at))
    year.plan(opened + 4, "13:00", lambda at: _revise_winter(year, job, at))
    year.plan(opened + 6, "15:00", lambda at: _accept(year, job, at, letter="B"))
    year.plan(opened + 10, "14:00", lambda at: _pay(year.estimate("winter").invoices.get(kind="deposit"), "1", at))
    year.plan(opened + 12, "10:00", lambda at: _plan_the_dishes(year, at))
    year.plan(-1, "09:00", lambda at: _send_sheets(year, at))
    year.plan(-1, "10:00", lambda at: _offer_winter_releases(year, at))


def _open_winter(year: _Year, job: DemoShoot, at: datetime) -> None:
    shoot = _open(year, job, at)
    for name in WINTER_DISHES:
        add_dish(shoot, name=name, portions=4)
    dishes = {dish.name: dish for dish in shoot.dishes.all()}
    for title in WINTER_PICTURES:
        want_pictures(
            shoot,
            titles=[title],
            dish=dishes.get(title.partition(",")[0]),
            **WINTER_FRAMES.get(title, {}),
        )
    give_part(
        shoot,
        person=year.people["Maro Lantadze"],
        part=Part.COOK,
        from_time=time(7, 30),
        until_time=time(15),
        brings="Dough, risen",
    )
    give_part(
        shoot, person=year.people["Ivo Pellander"], part=Part.KITCHEN_HAND, from_time=time(8), until_time=time(15)
    )
    give_part(
        shoot,
        person=year.people[ASSISTANT.name],
        part=Part.DIGITAL_OPERATOR,
        from_time=time(8, 30),
        until_time=time(16),
        brings="Laptop, tether, grey card",
    )


def _draft_winter(year: _Year, job: DemoShoot, at: datetime) -> None:
    estimate = _save(draft_estimate(year.shoot("winter"), at=at), job, at)
    add_option(estimate, copied_from="A")
    estimate.refresh_from_db()
    nine = estimate.options.get(letter="B")
    nine.title, nine.summary = (
        "Nine pictures with a portrait",
        "One of them is you at the oven. One day, with a kitchen hand",
    )
    six = estimate.options.get(letter="A")
    six.title, six.summary, six.pictures_count = "Six pictures", "One day, no portrait", 6
    lines = list(six.lines.order_by("order", "pk"))
    helpers = [line.pk for line in lines if line.kind == LineKind.ASSISTANT]
    edits = [
        OptionEdit(six, list(six.pictures.all())[:6], [line for line in lines if line.pk not in helpers], helpers),
        OptionEdit(nine, list(nine.pictures.all()), list(nine.lines.order_by("order", "pk"))),
    ]
    estimate = save_estimate(estimate, fields=[], version=estimate.version, options=edits, at=at)
    add_changed_option(
        estimate, copied_from="B", title="Twelve pictures for three years",
        changes={"summary": "Nine as in B and three of the room; a year longer", "pictures_count": 12, "use_months": 36},
    )  # fmt: skip
    for use, is_optional in ((WINTER_MENU, False), (WINTER_WINDOW, True)):
        add_item(estimate, letter="B", use=use, is_optional=is_optional)
    estimate.refresh_from_db()
    year.estimates["winter"] = estimate


def _revise_winter(year: _Year, job: DemoShoot, at: datetime) -> None:
    fresh = revise_estimate(year.estimate("winter"), at=at)
    fresh.overtime_rate = Decimal(110)
    edits = [
        OptionEdit(option, list(option.pictures.all()), list(option.lines.order_by("order", "pk")))
        for option in fresh.options.all()
    ]
    year.estimates["winter"] = save_estimate(
        fresh, fields=["overtime_rate"], version=fresh.version, options=edits, at=at
    )
    _send(year, job, at)


def _teach_words(at: datetime) -> None:
    """Two words Maro uses that no table of kitchen words has."""
    on = at.astimezone(ZONE).date()
    add_own_kind(
        name="blister", visible="skin lifts and darkens in bubbles", repeat="many", peak_seconds=20, hazards=["flame", "hot metal"],
        cues=["turn", "hold"], prepare=["two spare peppers"], angle="three-quarter", distance="tight", motion="either", light="dim key, back",
        interest=5, by=OWNER, on=on,
    )  # fmt: skip
    learn_word("anoint", action="drizzle", by=OWNER, on=on)


def _plan_the_dishes(year: _Year, at: datetime) -> None:
    shoot = year.shoot("winter")
    _teach_words(at)
    for dish in shoot.dishes.all():
        if dish.name in RECIPES:
            recipe = read_recipe_into(dish, text=RECIPES[dish.name])
            _take_out_what_earns_no_picture(dish)
            talk_recipe_through(recipe, on=at.astimezone(ZONE).date())
            tell_allergens(dish, allergens=WINTER_ALLERGENS[dish.name], told_by="Maro Lantadze", version=dish.version)
    make_shot_list(shoot)
    # One day holds what was promised and what comes once; what would only be nice to have is struck, as a photographer would.
    for shot in shoot.shots.filter(is_must=False, dish__isnull=False, agreed_pictures=None):
        remove_shot(shot)
    _shop_for_winter(shoot, at)


def _shop_for_winter(shoot: Shoot, at: datetime) -> None:
    """Takes, portions, prices and props; the stew's portions stay as somebody typed them, for the house to ask about."""
    for shot in shoot.shots.select_related("dish", "moment"):
        name = shot.dish.name if shot.dish else ""
        if shot.moment:
            chosen = [line for dish, begins, line in WINTER_LINES if dish == name and shot.title.startswith(begins)]
            tries = [
                takes
                for (dish, begins), takes in WINTER_TAKES.items()
                if dish == name and shot.title.startswith(begins)
            ]
            if tries:
                values = {"lines": chosen} if chosen else {}
                set_takes(shot.moment, values=values, tries={shot.pk: tries[0]}, version=1)
        elif shot.title.startswith("Hero") and name in WINTER_PROPS:
            shot.props = WINTER_PROPS[name]
            change_shot(shot, fields=["props"], version=shot.version)
    for dish in shoot.dishes.filter(name__in=WINTER_TABLE):
        set_dish_shopping(dish, values={**WINTER_TABLE[dish.name], **WINTER_LEFT.get(dish.name, {})}, version=1)
    over = [f"dish-{dish.pk}" for dish in shoot.dishes.exclude(name="Bean stew in clay")]
    write_shopping(shoot, over=over)
    shopping = shopping_of(shoot_for_shopping(shoot.pk).get())
    add_purchases(shoot, words=WINTER_OWN_LINES)
    changes = {}
    for line in shopping.lines:
        if line.name in WINTER_PRICES:
            price, where, who, is_bought = WINTER_PRICES[line.name]
            changes[line.key] = {"price": Decimal(price), "where": where, "who": who, "is_bought": is_bought}
    change_purchases(shoot, changes=changes, at=at, by=OWNER)
    for prop in make_props(shoot):
        for what, source, from_whom, goes_back_to, days in WINTER_LENT:
            if prop.what == what and shoot.first_on:
                prop.source, prop.from_whom, prop.goes_back_to = source, from_whom, goes_back_to
                prop.back_by = shoot.first_on + timedelta(days=days)
                change_prop(prop, fields=["source", "from_whom", "goes_back_to", "back_by"], version=prop.version)


def _take_out_what_earns_no_picture(dish: Dish) -> None:
    """The reader drafts a moment for each act it knows; one a step stays, where the act is worth a frame."""
    moments = list(dish.moments.select_related("step").order_by("order", "pk"))
    drafts = [moment_draft(row) for row in moments]
    worth = worth_a_picture(drafts, per_step=1)
    for row, draft in zip(moments, drafts, strict=True):
        if draft not in worth:
            remove_moment(row)


def _send_sheets(year: _Year, at: datetime) -> None:
    shoot = year.shoot("winter")
    send_cook_sheet(shoot, email="maro@walnutlantern.example", at=at)
    send_call_sheet(shoot, people=[row.person for row in shoot.people.select_related("person")], at=at)


def _offer_winter_releases(year: _Year, at: datetime) -> None:
    maro = year.people["Maro Lantadze"]
    _offer(year, "winter_cook", "winter", maro, at)
    _offer_place(year, "winter_place", "winter", "walnut", maro, at)


# Releases


def _offer(year: _Year, name: str, shoot: str, person: Person, at: datetime, *, first: str = "de") -> Release:
    row = year.shoot(shoot)
    year.releases[name] = offer_release(
        row, kind=Release.Kind.MODEL, person=person, own_promotion_of=row.licensee, use_classes=frozenset({"advertising"}), pictures_promised=3,
        first_language=first, second_language="en" if first == "de" else "de", prevailing_language=first, at=at,
    )  # fmt: skip
    return year.releases[name]


def _offer_place(year: _Year, name: str, shoot: str, kitchen: str, signer: Person, at: datetime) -> Release:
    row = year.shoot(shoot)
    year.releases[name] = offer_release(
        row, kind=Release.Kind.PROPERTY, kitchen=year.kitchens[kitchen], signer=signer, own_promotion_of=row.licensee,
        use_classes=frozenset({"advertising"}), first_language="de", second_language="en", prevailing_language="de", at=at,
    )  # fmt: skip
    return year.releases[name]


def _offer_things(year: _Year, name: str, shoot: str, things: str, signer: Person, at: datetime) -> Release:
    row = year.shoot(shoot)
    year.releases[name] = offer_release(
        row, kind=Release.Kind.PROPERTY, property_description=things, signer=signer, own_promotion_of=row.licensee, reach=Release.Reach.HOUSE,
        use_classes=frozenset({"advertising"}), first_language="de", second_language="en", prevailing_language="de", at=at,
    )  # fmt: skip
    return year.releases[name]


def _sign(release: Release, at: datetime, *, capacity: str = "self") -> None:
    for language in (release.first_language, release.second_language):
        show_release(release, language=language, at=at)
    sign_release(
        release, text_sha256=release.text_sha256, signer_name=release.signer_name, capacity=capacity, signature_path=COOK_SIGNATURE,
        is_of_full_age=True, via="private link", at=at,
    )  # fmt: skip


# What concerns more than one shoot, or comes later


def _plan_the_rest(year: _Year) -> None:
    opening, spring, breakfast = (
        next(job for job in SHOOTS if job.key == key) for key in ("opening", "spring", "breakfast")
    )
    maro = "Maro Lantadze"
    year.plan(
        opening.day,
        "08:30",
        lambda at: _sign(
            _offer_place(year, "opening_place", "opening", "walnut", year.people[maro], at), at, capacity="owner"
        ),
    )
    year.plan(spring.day, "08:30", lambda at: _sign(_offer(year, "spring_cook", "spring", year.people[maro], at), at))
    year.plan(
        spring.day,
        "08:45",
        lambda at: _sign(
            _offer_place(year, "spring_place", "spring", "walnut", year.people[maro], at), at, capacity="for_owner"
        ),
    )
    year.plan(
        spring.day,
        "08:50",
        lambda at: _sign(
            _offer_things(year, "spring_pots", "spring", CLAY_POTS, year.people[maro], at), at, capacity="for_owner"
        ),
    )
    year.plan(
        breakfast.day,
        "08:40",
        lambda at: _sign(
            _offer(year, "breakfast_hands", "breakfast", year.people["Matteo Linden"], at, first="en"), at
        ),
    )
    year.plan(
        -40,
        "16:30",
        lambda at: withdraw_release(
            year.releases["breakfast_hands"],
            reason="He works for another house now and asks for his hands to be taken down.",
            at=at,
        ),
    )
    year.plan(
        opening.day,
        "08:50",
        lambda at: refuse_release(
            _offer(year, "opening_hand", "opening", year.people["Ivo Pellander"], at, first="en"),
            reason="I would rather not be in pictures.",
            via="private link",
            at=at,
        ),
    )
    year.plan(-170, "09:00", lambda at: use_correction_round(year.shoot("spring"), at=at, by=OWNER))
    for offset, cost in OFFICE_COSTS:
        year.plan(offset, "12:40", lambda at, cost=cost: _spend(year, None, cost, at))
    _plan_licences(year)
    _plan_money(year)


def _plan_licences(year: _Year) -> None:
    year.plan(
        -140, "10:30", lambda at: _grant(year, "stock", "cookbook", "press", 4, _stock(), "360", "Frauke Ellersiek", at)
    )
    year.plan(
        -90,
        "10:30",
        lambda at: _grant(
            year,
            "roast_bakery",
            "old_grains",
            "pantry",
            2,
            advertising(12, "web.paid_social"),
            "0",
            "Calder Wrenfield",
            at,
        ),
    )
    year.plan(
        -6,
        "10:30",
        lambda at: _grant(
            year,
            "hotel_ads",
            "cookbook",
            "hotel",
            2,
            advertising(12, "web.paid_social", "web.display"),
            "420",
            "Averil Stonecrop",
            at,
        ),
    )
    year.plan(-9, "11:30", lambda at: _offer_rival(year, at))
    year.plan(-20, "11:30", lambda at: _offer_and_decline(year, at))
    year.plan(-3, "18:10", lambda at: _find_uses(year, at))
    year.plan(-30, "09:40", lambda at: report_copies(year.licence("rinds"), copies=12500, at=at))


def _stock() -> dict[str, Any]:
    return {**advertising(24, "all"), "use_classes": ["stock"], "use_territories": ["world"], "use_copies": None}


def _grant(
    year: _Year, name: str, shoot: str, licensee: str, count: int, use: dict[str, Any], fee: str, who: str, at: datetime
) -> None:
    ticked = year.chosen(shoot)[:count]
    if ticked:
        year.licences[name] = grant_licence(
            pictures=ticked, licensee=year.clients[licensee], use=use, first_day=at.astimezone(ZONE).date(), fee_net=Decimal(fee),
            credit_line=f"© {OWNER}", accepted_by=who, signed_by=OWNER, write_to_client=True, at=at,
        )  # fmt: skip


def _find_uses(year: _Year, at: datetime) -> None:
    """Two pages seen in the evening: the shop's advertisement is covered by its licence, the banner of somebody unknown is not."""
    licence = year.licence("roast_bakery") if "roast_bakery" in year.licences else None
    pictures = list(licence.pictures.order_by("pk")) if licence else []
    if licence is None or not pictures:
        return
    use = {"use_classes": ["advertising"], "use_media": ["web.paid_social"], "use_territories": ["DE"]}
    site = "https://posts.example/pantry"
    record_use(
        pictures=pictures[:1], screenshots=[Upload(_page_with(pictures[0], site, "New in the pantry"), "pantry-post.png")], client=licence.licensee,
        place="Paid post of the pantry", link=site, seen_on=at.astimezone(ZONE).date(), note="Seen on the tram home.", at=at, **use,
    )  # fmt: skip
    site = "https://drumlinsoup.example/week"
    banner = Upload(_page_with(pictures[-1], site, "Soup of the week"), "soup-banner.png")
    record_use(
        pictures=pictures[-1:], screenshots=[banner], user_name="Drumlin Soup Bar", place="Banner on a soup bar’s page", link=site,
        seen_on=at.astimezone(ZONE).date(), at=at, **{**use, "use_media": ["web.display"]},
    )  # fmt: skip


def _page_with(picture: Picture, site: str, headline: str) -> bytes:
    return draw_page(site, headline, picture.preview.read_bytes())


def _offer_rival(year: _Year, at: datetime) -> None:
    """Fennel Yard would like to advertise with bread that Kvernmoor Mill holds alone: refused, and the offer stays to show why."""
    ticked = year.chosen("old_grains")[:1]
    if not ticked:
        return
    rival = offer_licence(
        pictures=ticked, licensee=year.clients["bakery"], use={**advertising(12, "print.ad"), "use_copies": 3000},
        first_day=work_day(year.on, 5), fee_net=Decimal(480), credit_line=f"© {OWNER}", at=at,
    )  # fmt: skip
    year.licences["rival"] = rival
    try:
        accept_licence(rival, accepted_by="Bettany Crumb", at=at)
    except LicenceConflict:
        return
    raise RuntimeError("The rival of an exclusive licence was let in")


def _offer_and_decline(year: _Year, at: datetime) -> None:
    ticked = year.chosen("cookbook")[2:3]
    if ticked:
        offer = offer_licence(
            pictures=ticked, licensee=year.clients["coffee"], use=advertising(6, "web.display"), first_day=work_day(year.on, -10),
            fee_net=Decimal(150), at=at,
        )  # fmt: skip
        decline_licence(offer, reason="The campaign was dropped.", at=at)


def _plan_money(year: _Year) -> None:
    lake = next(job for job in SHOOTS if job.key == "lake")
    billed = (lake.day or 0) + lake.delivered + (lake.billed or 0)
    year.plan(billed + 3, "13:00", lambda at: _correct(year, lake, at))
    year.plan(-2, "15:00", lambda at: remind_of_invoice(year.invoices["lemons"], at=at))
    year.plan(-16, "09:10", lambda _at: _need_order_numbers(year))
    year.plan(-2, "10:20", lambda at: _ask(year, at))


def _ask(year: _Year, at: datetime) -> None:
    text = "Could the first page be upright, with room for the headline?"
    ask_question(year.estimate("broths"), name="Ottilie Brackwater", text=text, at=at)


def _correct(year: _Year, job: DemoShoot, at: datetime) -> None:
    """The order of the inn was billed to the wrong cost centre: credited, and billed anew."""
    wrong = year.invoices[job.key]
    note = cancel_by_credit_note(wrong, reason="Falsche Bestellnummer", at=at, by=OWNER)
    send_invoice(note, at=at)
    _bill(year, job, at)


def _need_order_numbers(year: _Year) -> None:
    """Spoon & Lamp ask for order numbers from now on; the soups were ordered before, so month-end holds them back."""
    client = Client.objects.get(pk=year.clients["spoon"].pk)
    client.is_order_number_required = True
    client.notes = "They send invoices back without an order number."
    change_client(client, fields=["is_order_number_required", "notes"], version=client.version)
