from datetime import date, time

import factory

from shoots.brief.models import AgreedPicture, Dish, Part, Shoot, ShootPerson
from tests.factories.clients import ClientFactory, KitchenFactory, PersonFactory


class ShootFactory(factory.django.DjangoModelFactory):
    """An enquiry for own promotion on website and social media, on Saturday 14 November 2026."""

    class Meta:
        model = Shoot

    title = factory.Sequence(lambda n: f"Winter menu {n + 1}")
    client = factory.SubFactory(ClientFactory)
    billing_party = factory.SelfAttribute("client")
    licensee = factory.SelfAttribute("client")
    kitchen = factory.SubFactory(KitchenFactory, client=factory.SelfAttribute("..client"))
    first_on = date(2026, 11, 14)
    from_time = time(9)
    until_time = time(15)
    use_classes = ["advertising"]
    use_media = ["web.own", "web.social"]
    use_territories = ["DE"]


class DishFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Dish

    shoot = factory.SubFactory(ShootFactory)
    name = factory.Sequence(lambda n: f"Bread boat {n + 1}")
    order = factory.Sequence(int)


class AgreedPictureFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = AgreedPicture

    shoot = factory.SubFactory(ShootFactory)
    title = factory.Sequence(lambda n: f"Bread boat from above {n + 1}")
    order = factory.Sequence(int)


class ShootPersonFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ShootPerson

    shoot = factory.SubFactory(ShootFactory)
    person = factory.SubFactory(PersonFactory)
    part = Part.COOK
