"""The life of a few licences on two pictures, drawn by lot: each step is one of the house's own actions, and after each the books are
looked at with the slow reading of ``brute_force``.
"""

from collections import Counter
from datetime import UTC, datetime, timedelta
from decimal import Decimal

from django.db import transaction
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from shared.errors import Refusal
from shared.evidence.models import Evidence
from shoots.brief.models import SellingOn, Shoot
from shoots.found.actions import offer_for_past_use
from shoots.licences import actions, queries
from shoots.licences.models import Licence
from shoots.life import actions as later
from shoots.pictures.models import Assessment, Picture
from tests.factories.licences import ADVERTISING, OWN, agreed, free_shoot, kvernmoor, oystercatcher, picture_of, terms
from tests.shoots.licences.brute_force import FIRST, blocks, conflict

AT = datetime(2027, 1, 20, 9, tzinfo=UTC)  # the slow reading lists the days of 2027
MEDIA, PLACES, DAYS = (["web.display"], ["web.display", "print.brochure"]), (["DE"], ["AT"], ["AT", "DE"]), (0, 20, 60)
EXCLUSIVE = ("none", "none", "trade", "picture")
BEGINS = ("on_payment", "on_delivery", "on_date")
some = st.sampled_from

moved: Counter[tuple[str, str]] = Counter()
refused: Counter[str] = Counter()
came_back: Counter[str] = Counter()


def agreed_for_past_use(*, accepted_by, at, **terms):
    return actions.accept_licence(offer_for_past_use(**terms, at=at), accepted_by=accepted_by, at=at)


class Lives(RuleBasedStateMachine):
    """Two pictures of one shoot, three clients (two of one trade), and a day that goes on."""

    @initialize()
    def begin(self):
        self.mark = transaction.atomic()
        self.mark.__enter__()
        self.shoot = free_shoot()
        self.pictures = [picture_of(self.shoot), picture_of(self.shoot)]
        self.clients = [kvernmoor(), oystercatcher(), self.shoot.licensee]
        self.at, self.covered, self.origin = AT, {}, 0
        last = Evidence.objects.order_by("-seq").first()
        self.seq = last.seq if last else 0
        # So that there is something to change, to offer and to place from the first step on.
        wish = terms(self.pictures[:1], licensee=self.clients[0], first_day=self.on, fee_net=Decimal(0))
        self.act(actions.grant_licence, accepted_by="A. Client", **wish)
        self.act(actions.draft_licence, **{**wish, "licensee": self.clients[1], "pictures": self.pictures[1:]})
        self.act(
            agreed,
            self.shoot,
            licensee=self.clients[1],
            terms=ADVERTISING,
            begins="on_payment",
            origin="estimate:0",
            pictures_agreed=2,
        )

    def teardown(self):
        if hasattr(self, "mark"):
            transaction.set_rollback(True)
            self.mark.__exit__(None, None, None)

    # Steps

    def act(self, deed, *given, **named):
        """One action: it goes through, or it refuses and leaves every licence as it was."""
        before = list(Licence.objects.order_by("pk").values())
        states = {row["id"]: row["state"] for row in before}
        refusal = done = None
        try:
            with transaction.atomic():
                done = deed(*given, at=self.at, **named)
        except Refusal as why:
            refusal = why
        if refusal is not None:
            refused[type(refusal).__name__] += 1
            assert refusal.what_happened
            assert refusal.what_is_kept
            assert list(Licence.objects.order_by("pk").values()) == before
            return None
        for licence in Licence.objects.order_by("pk"):
            was = states.get(licence.pk, licence.state)
            if (was, licence.state) == ("offered", "paid"):  # without a fee both moves are one press
                moved["offered", "accepted"] += 1
                was = "accepted"
            if was != licence.state:
                moved[was, licence.state] += 1
        return done

    def one(self, draw, *states):
        found = list(Licence.objects.filter(state__in=states).order_by("pk"))
        return draw.draw(some(found)) if found else None

    def use(self, draw):
        media, exclusivity = draw.draw(some(MEDIA)), draw.draw(some(EXCLUSIVE))
        counted = 1000 if "print.brochure" in media else None
        return {
            **OWN, "is_own_promotion": False, "use_media": media, "use_territories": draw.draw(some(PLACES)), "use_months": draw.draw(some((1, 12))),
            "exclusivity": exclusivity, "use_copies": counted,
        }  # fmt: skip

    @property
    def on(self):
        return self.at.date()

    def wish(self, draw):
        ticked = draw.draw(some([self.pictures, self.pictures[:1], self.pictures[1:]]))
        first = self.on + timedelta(days=draw.draw(some(DAYS)))
        fee = Decimal(draw.draw(some((0, 300))))
        return terms(ticked, use=self.use(draw), licensee=draw.draw(some(self.clients)), first_day=first, fee_net=fee)

    @rule(draw=st.data(), is_draft=st.booleans())
    def write_up(self, draw, is_draft):
        self.act(actions.draft_licence if is_draft else actions.offer_licence, **self.wish(draw))

    @rule(draw=st.data())
    def grant(self, draw):
        self.act(actions.grant_licence, accepted_by="A. Client", signed_by="Tindra Aldermoor", **self.wish(draw))

    @rule(draw=st.data())
    def offer(self, draw):
        if (licence := self.one(draw, "draft", "offered")) is not None:
            self.act(actions.offer_draft, licence)

    @rule(draw=st.data())
    def discard(self, draw):
        if (licence := self.one(draw, "draft", "offered")) is not None:
            self.act(actions.discard_draft, licence)

    @rule(draw=st.data(), signed=some(("", "Tindra Aldermoor", "Tindra Aldermoor")))
    def accept(self, draw, signed):
        if (licence := self.one(draw, "offered", "offered", "declined")) is not None:
            self.act(actions.accept_licence, licence, accepted_by="A. Client", signed_by=signed)

    @rule(draw=st.data())
    def agree(self, draw):
        """Before there are pictures; now and then in place of an earlier one of the same client."""
        client = draw.draw(some(self.clients))
        found = list(
            Licence.objects.filter(licensee=client, state__in=("accepted", "paid"), origin__startswith="estimate")
        )
        self.origin += 1
        self.act(
            agreed, self.shoot, licensee=client, terms=self.use(draw), begins=(begins := draw.draw(some(BEGINS))),
            begins_on=self.on if begins == "on_date" else None, origin=f"estimate:{self.origin}", pictures_agreed=2,
            supersedes=draw.draw(some([None, *found])),
        )  # fmt: skip

    @rule(draw=st.data(), days=some(DAYS))
    def place(self, draw, days):
        found = list(Licence.objects.filter(is_placed=False).order_by("pk"))
        if found:
            ticked = draw.draw(some([self.pictures, self.pictures[:1], []]))
            first = self.on + timedelta(days=days)
            self.act(actions.place_licence, draw.draw(some(found)), pictures=ticked, first_day=first)

    @rule(draw=st.data())
    def pay(self, draw):
        if (licence := self.one(draw, "accepted", "declined")) is not None:
            self.act(actions.start_licence, licence, paid_on=self.on)

    @rule(draw=st.data())
    def deliver(self, draw):
        found = list(Licence.objects.filter(begins="on_delivery", is_placed=True, state="accepted").order_by("pk"))
        if found:
            self.act(actions.begin_on_delivery, draw.draw(some(found)), delivered_on=self.on)

    @rule(draw=st.data())
    def decline(self, draw):
        if (licence := self.one(draw, "offered", "accepted", "paid")) is not None:
            self.act(later.decline_licence, licence)

    @rule(draw=st.data())
    def refund(self, draw):
        if (licence := self.one(draw, "paid", "refunded")) is not None:
            self.act(later.refund_licence, licence)

    @rule(draw=st.data(), days=some(DAYS))
    def revoke(self, draw, days):
        if (licence := self.one(draw, "paid")) is not None:
            self.act(later.revoke_licence, licence, cut_on=self.on + timedelta(days=days), reason="Sold on")

    @rule(draw=st.data())
    def change(self, draw):
        if (licence := self.one(draw, "paid", "accepted")) is not None:
            use, end = self.use(draw), licence.last_day
            fee = Decimal(draw.draw(some((0, 300))))
            self.act(
                later.change_licence, licence, use=use, pictures=self.pictures, last_day=end, fee_net=fee, accepted_by="A. Client",
                signed_by="Tindra Aldermoor",
            )  # fmt: skip

    @rule(draw=st.data())
    def give_up(self, draw):
        if (licence := self.one(draw, "paid")) is not None:
            media, places = draw.draw(some(MEDIA)), draw.draw(some(PLACES))
            self.act(
                later.give_up_part, licence, classes=licence.use_classes, media=media, territories=places,
                pictures=licence.pictures.all(), last_day=licence.last_day, accepted_by="A. Client",
            )  # fmt: skip

    @rule(draw=st.data(), copies=some((500, 0)))
    def top_up(self, draw, copies):
        if (licence := self.one(draw, "paid")) is not None:
            fee = Decimal(draw.draw(some((0, 90))))
            self.act(later.top_up_copies, licence, copies=copies, fee_net=fee, accepted_by="A. Client")

    @rule(draw=st.data(), copies=some((300, 0)))
    def report(self, draw, copies):
        if (licence := self.one(draw, "paid")) is not None:
            self.act(later.report_copies, licence, copies=copies)

    @rule(draw=st.data())
    def renew(self, draw):
        if (licence := self.one(draw, "paid", "accepted", "offered")) is not None:
            self.act(later.renew_licence, licence, months=12, fee_net=Decimal(9))

    @rule(draw=st.data())
    def license_what_happened(self, draw):
        seen = {"classes": ["advertising"], "media": ["web.display"], "territories": ["DE"], "copies": None}
        last = self.on + timedelta(days=draw.draw(some((-1, 0, 1))))
        self.act(
            agreed_for_past_use, pictures=self.pictures[:1], licensee=draw.draw(some(self.clients)), first_day=FIRST,
            last_day=last, fee_net=Decimal(90), reason="Seen", accepted_by="A. Client", **seen,
        )  # fmt: skip

    @rule(state=some((SellingOn.NOT_AGREED, SellingOn.FREE, SellingOn.FREE)))
    def settle_selling_on(self, state):
        Shoot.objects.filter(pk=self.shoot.pk).update(selling_on=state)
        self.pictures = list(Picture.objects.filter(shoot=self.shoot).order_by("pk"))

    @rule(seen=some((Assessment.NOT_ASSESSED, Assessment.NONE, Assessment.NONE)))
    def look_who_is_shown(self, seen):
        Picture.objects.filter(pk=self.pictures[0].pk).update(people=seen)

    @rule(days=some((1, 25)))
    def wait(self, days):
        self.at += timedelta(days=days)
        self.covered = {}

    # What holds after every step

    @invariant()
    def no_two_rivals_stand(self):
        standing = [
            licence for licence in Licence.objects.order_by("pk") if blocks(licence) and licence.origin != "past_use"
        ]
        grants = [
            (each, self.read(each)) for each in standing
        ]  # a use that happened is a fact: its rivals are told and frozen
        for place, (one, first) in enumerate(grants):
            for other, second in grants[place + 1 :]:
                waiting = [each for each in (one, other) if not each.is_placed]
                if len(waiting) == 1 and waiting[0].exclusivity == "none":
                    continue  # it holds no picture yet
                assert not conflict(LEAVES, first, second), (one.number, other.number)

    def read(self, licence):
        pictures = licence.pictures.all() if licence.is_placed else self.pictures
        return queries.grant_of(licence, [str(picture.pk) for picture in pictures])

    @invariant()
    def boxes_are_those_of_the_codes(self):
        assert queries.licences_with_other_boxes() == []

    @invariant()
    def nobody_loses_a_day_untold(self):
        """What a client may do today they could do before the step too, or the log, or the words they agreed to instead, say why not."""
        now = {}
        for licence in Licence.objects.filter(is_placed=True):
            if self.read(licence).is_running(self.on):
                for picture in licence.pictures.all():
                    for medium in licence.use_media:
                        for place in licence.use_territories:
                            now.setdefault((licence.licensee_id, picture.pk, medium, place), set()).add(licence)
        for cell in self.covered.keys() - now.keys():
            assert any(self.is_told(licence, cell) for licence in self.covered[cell]), cell
        self.covered = now
        fresh = Evidence.objects.filter(seq__gt=self.seq).order_by("seq")
        came_back.update(row.kind for row in fresh if row.kind in ("given_back", "not_given_back"))
        self.seq = max((row.seq for row in fresh), default=self.seq)

    def is_told(self, licence, cell):
        _client, picture, medium, place = cell
        said = Evidence.objects.filter(subject=f"licence:{licence.pk}", seq__gt=self.seq).values_list("kind", flat=True)
        if TOLD & set(said):
            return True
        taken_by = [
            each for each in licence.superseded_by.all() if blocks(each) and self.read(each).is_running(self.on)
        ]
        return any(
            medium not in each.use_media
            or place not in each.use_territories
            or not each.pictures.filter(pk=picture).exists()
            for each in taken_by
        )


TOLD = {"declined", "refunded", "revoked"}
"""The log's words for a use that ends by a decision about this very licence."""


class Leaf:
    """A node of the slow reading's trees."""

    def __init__(self, code):
        self.code, self.parent, self.exhaustive = code, None, False


LEAVES = (tuple(map(Leaf, ("web.display", "web.paid_social", "print.brochure"))), tuple(map(Leaf, ("DE", "AT", "CH"))))


def lived_once():
    """One life by hand, so that every move and every refusal stands under the same looks: chance alone need not meet them all."""
    lives = Lives()
    lives.begin()
    try:
        for step in _steps(lives):
            step()
            lives.no_two_rivals_stand()
            lives.boxes_are_those_of_the_codes()
            lives.nobody_loses_a_day_untold()
    finally:
        lives.teardown()


def _steps(lives):
    mill, pantry, house = lives.clients
    yes = {"accepted_by": "A. Client", "signed_by": "Tindra Aldermoor"}
    in_austria = {**ADVERTISING, "use_territories": ["AT"]}

    def latest(**which):
        return Licence.objects.filter(**which).order_by("-pk").first()

    def offer(client=mill, use=in_austria, pictures=lives.pictures, fee=300):
        lives.act(
            actions.offer_licence, **terms(pictures, use=use, licensee=client, first_day=lives.on, fee_net=Decimal(fee))
        )

    def act(deed, find, **named):
        return lambda: lives.act(deed, find(), **named)

    def change(find):
        return lambda: lives.act(
            later.change_licence, (held := find()), use={**ADVERTISING, "use_territories": ["DE", "CH"]}, pictures=held.pictures.all(),
            last_day=held.last_day, fee_net=Decimal(300), **yes,
        )  # fmt: skip

    def paid_by_mill():
        return latest(licensee=mill, state="paid")

    def set_selling(state):
        return lambda: lives.settle_selling_on(state)

    return [
        act(actions.offer_draft, lambda: latest(state="draft")),
        act(actions.accept_licence, lambda: latest(state="offered"), **yes),
        offer,
        act(later.renew_licence, lambda: latest(state="offered"), months=12, fee_net=Decimal(9)),  # CannotRenew
        offer,  # HeldAlready
        act(later.decline_licence, lambda: latest(state="offered")),
        act(actions.accept_licence, lambda: latest(state="declined"), **yes),  # MoveRefused
        offer,
        act(actions.accept_licence, lambda: latest(state="offered"), **yes),
        change(lambda: latest(state="accepted", licensee=mill)),  # CannotChange
        lambda: offer(pantry, {**in_austria, "exclusivity": "picture"}),
        act(actions.accept_licence, lambda: latest(state="offered"), accepted_by="A. Client"),  # LicenceUnsigned
        act(actions.accept_licence, lambda: latest(state="offered"), **yes),  # LicenceConflict
        act(later.decline_licence, lambda: latest(state="accepted", licensee=mill)),
        act(actions.accept_licence, lambda: latest(state="offered"), **yes),
        act(actions.start_licence, lambda: latest(state="accepted", is_placed=True), paid_on=lives.on),
        change(paid_by_mill),
        act(later.decline_licence, lambda: latest(state="accepted", licensee=mill)),  # the old one stands again
        change(paid_by_mill),
        act(actions.start_licence, lambda: latest(state="accepted", licensee=mill), paid_on=lives.on),
        act(later.report_copies, paid_by_mill, copies=0),  # NoCopies
        act(later.refund_licence, paid_by_mill),  # and again
        act(later.revoke_licence, paid_by_mill, cut_on=lives.on, reason="Sold on"),
        act(actions.place_licence, lambda: latest(is_placed=False), pictures=[], first_day=lives.on),  # NoCell
        lambda: lives.act(
            agreed, lives.shoot, licensee=pantry, terms=ADVERTISING, begins="on_payment", origin="estimate:9", pictures_agreed=2,
            supersedes=latest(state="accepted", is_placed=False),
        ),
        set_selling(SellingOn.NOT_AGREED),
        lambda: offer(pantry, {**ADVERTISING, "use_territories": ["CH"]}),  # NotForSale
        set_selling(SellingOn.FREE),
        lambda: lives.look_who_is_shown(Assessment.NOT_ASSESSED),
        lambda: lives.act(
            actions.place_licence, latest(state="accepted", is_placed=False), pictures=lives.pictures[:1], first_day=lives.on
        ),  # NotCleared
        lambda: offer(house, {**ADVERTISING, "use_territories": ["CH"]}),
    ]  # fmt: skip
