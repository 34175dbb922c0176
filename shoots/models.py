"""Gathers the tables of this app's rooms for Django; nothing else lives here."""

from shoots.brief.models import AgreedPicture, Dish, Shoot, ShootMove, ShootPerson
from shoots.day.models import HoldLimit, Mark, Take
from shoots.delivery.models import Delivery
from shoots.found.models import FoundLetter, FoundShot, FoundUse
from shoots.licences.models import Licence, LicenceBox, LicencePaper, LicencePicture
from shoots.light.models import Camera, LightPlan, OwnLens, WindowMeasures
from shoots.pictures.models import Picture, PicturePerson, PictureProperty
from shoots.plan.models import Moment, Recipe, SheetChoice, Shot, Step
from shoots.recipes.models import OwnKind, OwnWord, PutBy
from shoots.releases.models import Release, ReleaseScan
from shoots.run.models import DishDay, Run, RunActivity
from shoots.safety.models import FoodOut, SafetyTick
from shoots.shopping.models import DishShopping, MomentTakes, Prop, Purchase
from shoots.uses.models import TreeVersion

__all__ = [
    "AgreedPicture",
    "Camera",
    "Delivery",
    "Dish",
    "DishDay",
    "DishShopping",
    "FoodOut",
    "FoundLetter",
    "FoundShot",
    "FoundUse",
    "HoldLimit",
    "Licence",
    "LicenceBox",
    "LicencePaper",
    "LicencePicture",
    "LightPlan",
    "Mark",
    "Moment",
    "MomentTakes",
    "OwnKind",
    "OwnLens",
    "OwnWord",
    "Picture",
    "PicturePerson",
    "PictureProperty",
    "Prop",
    "Purchase",
    "PutBy",
    "Recipe",
    "Release",
    "ReleaseScan",
    "Run",
    "RunActivity",
    "SafetyTick",
    "SheetChoice",
    "Shoot",
    "ShootMove",
    "ShootPerson",
    "Shot",
    "Step",
    "Take",
    "TreeVersion",
    "WindowMeasures",
]
