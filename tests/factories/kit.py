"""What the studio shoots with."""

import factory

from shoots.light.models import Camera, OwnLens


class CameraFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = Camera

    name = factory.Sequence(lambda n: f"Body {n + 1}")
    long_mm, short_mm, pixels = 36, 24, 8256


class OwnLensFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = OwnLens

    name = factory.LazyAttribute(lambda row: f"{row.shortest_mm} mm")
    shortest_mm = factory.Sequence(lambda n: 35 + 15 * n)
    longest_mm = factory.SelfAttribute("shortest_mm")
