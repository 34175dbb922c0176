"""Gathers the tables of this app's rooms for Django; nothing else lives here."""

from shoots.brief.models import AgreedPicture, Dish, Shoot, ShootMove, ShootPerson
from shoots.day.models import HoldLimit, Mark, Take
from shoots.delivery.models import Delivery
from shoots.licences.models import Licence, LicenceBox, LicencePaper, LicencePicture
from shoots.light.models import LightPlan
from shoots.pictures.models import Picture, PicturePerson, PictureProperty
from shoots.plan.models import Moment, Recipe, Shot, Step
from shoots.releases.models import Release
from shoots.run.models import DishDay, Run, RunActivity

__all__ = [
    "AgreedPicture",
    "Delivery",
    "Dish",
    "DishDay",
    "HoldLimit",
    "Licence",
    "LicenceBox",
    "LicencePaper",
    "LicencePicture",
    "LightPlan",
    "Mark",
    "Moment",
    "Picture",
    "PicturePerson",
    "PictureProperty",
    "Recipe",
    "Release",
    "Run",
    "RunActivity",
    "Shoot",
    "ShootMove",
    "ShootPerson",
    "Shot",
    "Step",
    "Take",
]
