import factory

from clients.models import Client, ClientKind, ClientPerson, Kitchen, Person


class ClientFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Client

    name = factory.Sequence(lambda n: f"Walnut Lantern {n + 1}")
    kind = ClientKind.RESTAURANT
    trade = "restaurant"
    street = "Lampwick Lane 4"
    postcode = "10115"
    city = "Lindhafen"


class PersonFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Person

    name = factory.Sequence(lambda n: f"Maro Lantadze {n + 1}")
    email = factory.Sequence(lambda n: f"maro{n + 1}@walnut-lantern.example")
    phone = "+49 30 5550123"


class ClientPersonFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = ClientPerson

    client = factory.SubFactory(ClientFactory)
    person = factory.SubFactory(PersonFactory)
    orders = True
    approves = True


class KitchenFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Kitchen

    client = factory.SubFactory(ClientFactory)
    name = factory.Sequence(lambda n: f"Lampwick Lane kitchen {n + 1}")
    street = "Lampwick Lane 4"
    postcode = "10115"
    city = "Lindhafen"
