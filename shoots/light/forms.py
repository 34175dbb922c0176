from decimal import Decimal
from typing import Any

from crispy_forms.layout import Fieldset, Layout, Row
from django import forms

from clients.compass import compass_words
from shared.words.forms import ChoiceCards, EditedFormMixin, QuantityField, SheetForm, SheetModelForm
from shoots.brief.models import Shoot
from shoots.light.lens import SENSORS
from shoots.light.lens_answers import FALLING, MOVING, RIG, STILL, SUBJECTS, Question
from shoots.light.models import LightPlan
from shoots.light.queries import KitchenGlass, chosen_window, windows_of

HOURS = [(hour, f"{hour} o’clock") for hour in range(1, 13)]
OF_A_WINDOW = {
    "sill_cm": ("Sill, cm above the floor", "", (0, 400)),
    "head_cm": ("Top of the glass, cm", "Empty: as high as the window is.", (10, 800)),
    "building_degrees": ("Opposite, degrees high", "0 open sky, 45 as high as far, 90 a wall.", (0, 90)),
    "overhang_depth_cm": ("Overhang outside, how deep, cm", "", (0, 500)),
    "overhang_above_cm": ("Overhang, how far above the glass, cm", "", (0, 400)),
}
LIMITS = {
    "table_cm": (20, 200),
    "table_distance_cm": (0, 1000),
    "table_depth_cm": (20, 400),
    "table_width_cm": (20, 600),
    "table_aside_cm": (-500, 500),
    "ceiling_cm": (120, 1500),
}


class LightPlanForm(EditedFormMixin, SheetModelForm):
    """How table, lamp and cook stand, and the measures of each window of the kitchen. Everything has a value to begin with."""

    class Meta:
        model = LightPlan
        fields = ["kind", "lamp_hour", "cook_hour", *LIMITS]
        labels = {
            "kind": "The light",
            "lamp_hour": "The lamp is at",
            "cook_hour": "The cook stands at",
            "table_cm": "Table top, cm above the floor",
            "table_distance_cm": "Wall to table, cm",
            "table_depth_cm": "Table, into the room, cm",
            "table_width_cm": "Table, along the wall, cm",
            "table_aside_cm": "Table to the right, cm",
            "ceiling_cm": "Ceiling, cm above the floor",
        }
        help_texts = {
            "lamp_hour": "Hours as on the plan: 12 is the window wall, 3 the right end.",
            "cook_hour": "Shots from above are told as the cook sees them.",
            "table_aside_cm": "Of the window’s middle. Left is negative.",
        }
        widgets = {"kind": ChoiceCards}

    def __init__(self, *args: Any, shoot: Shoot, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.windows = windows_of(shoot)
        if self.windows:
            chosen = chosen_window(shoot, self.instance)
            self.fields["window"] = forms.ChoiceField(
                label="The table stands at",
                choices=[(_named(each), _window_title(each)) for each in self.windows],
                initial=_named(chosen) if chosen else None,
            )
        for each in self.windows:
            for name, (label, help_text, (least, most)) in OF_A_WINDOW.items():
                self.fields[f"{_named(each)}_{name}"] = forms.IntegerField(
                    label=label,
                    help_text=help_text,
                    required=name != "head_cm",
                    widget=_figure(),
                    initial=getattr(each.measures, name),
                    error_messages={"required": f"Enter {least} to {most}.", "invalid": f"Enter {least} to {most}."},
                )
        for name in ("lamp_hour", "cook_hour"):
            was = self.fields[name]
            self.fields[name] = forms.TypedChoiceField(
                label=was.label, help_text=was.help_text, choices=HOURS, coerce=int
            )
        self.fields["kind"].widget.details = {
            "daylight": "The sun is followed through the day.",
            "overcast": "Closed sky: soft from the window while it is day.",
            "lamp": "The window is blinded; the lamp says where the light comes from.",
        }
        for name in LIMITS:
            self.fields[name].widget = _figure()
        for field in self.fields.values():
            self.dress(field)
        window = ["window"] if self.windows else []
        measures = [
            Fieldset(
                _window_title(each),
                Row(*(f"{_named(each)}_{name}" for name in list(OF_A_WINDOW)[:3]), css_class="fields-3 at-foot"),
                Row(*(f"{_named(each)}_{name}" for name in list(OF_A_WINDOW)[3:]), css_class="fields-2 at-foot"),
            )
            for each in self.windows
        ]
        self.helper.layout = Layout(
            "version",
            "kind",
            Fieldset("Round the table", *window, Row("cook_hour", "lamp_hour", css_class="fields-2 at-foot")),
            *measures,
            Fieldset(
                "Table and room",
                Row("table_distance_cm", "table_depth_cm", "table_width_cm", css_class="fields-3 at-foot"),
                Row("table_cm", "ceiling_cm", "table_aside_cm", css_class="fields-3 at-foot"),
            ),
        )

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        for name, limits in LIMITS.items():
            self._within(name, limits)
        for each in self.windows:
            for name, (_label, _help, limits) in OF_A_WINDOW.items():
                self._within(f"{_named(each)}_{name}", limits)
            sill, head = (found.get(f"{_named(each)}_{name}") for name in ("sill_cm", "head_cm"))
            if sill is not None and head is not None and head <= sill and f"{_named(each)}_head_cm" not in self.errors:
                self.add_error(f"{_named(each)}_head_cm", f"The top of the glass is above the sill of {sill} cm.")
        table, ceiling = found.get("table_cm"), found.get("ceiling_cm")
        if table is not None and ceiling is not None and table >= ceiling and "ceiling_cm" not in self.errors:
            self.add_error("ceiling_cm", f"The ceiling is above the table of {table} cm.")
        return found

    def _within(self, name: str, limits: tuple[int, int]) -> None:
        value, (least, most) = self.cleaned_data.get(name), limits
        if value is not None and not least <= value <= most:
            self.add_error(name, f"Enter {least} to {most}.".replace("-", "−"))

    def typed_values(self) -> dict[str, Any]:
        """The fields of the row, as typed."""
        found = {name: self.cleaned_data[name] for name in self.Meta.fields if name in self.cleaned_data}
        chosen = next((each for each in self.windows if _named(each) == self.cleaned_data.get("window")), None)
        if chosen is not None:
            found["window_bearing"], found["window_number"] = chosen.key
        return found

    def typed_windows(self) -> dict[tuple[int, int], dict[str, Any]]:
        """The measures of each window, as typed."""
        return {
            each.key: {name: self.cleaned_data[f"{_named(each)}_{name}"] for name in OF_A_WINDOW}
            for each in self.windows
        }


def _figure() -> forms.TextInput:
    return forms.TextInput({"inputmode": "numeric", "autocomplete": "off", "class": "short"})


def _named(window: KitchenGlass) -> str:
    """The window in the names of its fields."""
    bearing, number = window.key
    return f"window{bearing}_{number}"


def _window_title(window: KitchenGlass) -> str:
    bearing = window.row.bearing_degrees
    return f"{window.name}, {compass_words(bearing)}, {bearing}°"


def _number(label: str, least: str, most: str, *, unit: str = "", help_text: str = "") -> Any:
    low, high = Decimal(least), Decimal(most)
    said = f"Enter {low:,f} to {high:,f}."
    return QuantityField(
        label=f"{label}, {unit}" if unit else label,
        min_value=low,
        max_value=high,
        help_text=help_text,
        error_messages={"min_value": said, "max_value": said},
    )


class LensForm(SheetForm):
    """What is asked of a lens. It is a question in the address, so it can be sent on or kept as a bookmark."""

    sensor = forms.ChoiceField(label="Sensor", choices=[(key, each.name) for key, each in SENSORS.items()])
    focal_length = _number("Focal length", "8", "800", unit="mm")
    f_number = _number("Aperture, f/", "0.7", "64")
    subject_mm = _number(
        "Subject, short side of the picture", "5", "5000", unit="mm", help_text="A dinner plate is about 280."
    )
    margin_percent = _number("Air round it", "0", "300", unit="%")
    ceiling_cm = _number("Ceiling", "120", "1500", unit="cm")
    table_cm = _number("Table top", "20", "200", unit="cm")
    rig_mm = _number("Camera and arm above the sensor", "0", "1000", unit="mm")
    motion = forms.ChoiceField(
        label="What moves",
        choices=[(STILL, "Nothing"), (FALLING, "Something falls or is poured"), (MOVING, "A hand or tool")],
    )
    fall_cm = _number("It falls", "0", "300", unit="cm")
    speed_cm = _number(
        "It moves",
        "0",
        "2000",
        unit="cm a second",
        help_text="A stirring hand does about 50 (common practice, no source).",
    )
    shutter = _number("Shutter, one part of a second", "1", "100000")
    pixels = _number("Pixels along the long side", "500", "40000")

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper.layout = Layout(
            Fieldset(
                "Camera and subject",
                Row("sensor", "focal_length", "f_number", css_class="fields-3 at-foot"),
                Row("subject_mm", "margin_percent", "pixels", css_class="fields-3 at-foot"),
            ),
            Fieldset("Above the table", Row("ceiling_cm", "table_cm", "rig_mm", css_class="fields-3 at-foot")),
            Fieldset(
                "Movement",
                Row("motion", "shutter", css_class="fields-2 at-foot"),
                Row("fall_cm", "speed_cm", css_class="fields-2 at-foot"),
            ),
        )

    def question(self) -> Question:
        """The question in millimetres."""
        typed = {
            name: float(value) if isinstance(value, Decimal) else value for name, value in self.cleaned_data.items()
        }
        return Question(
            sensor=SENSORS[typed["sensor"]],
            focal_length=typed["focal_length"],
            f_number=typed["f_number"],
            subject=typed["subject_mm"],
            margin_percent=typed["margin_percent"],
            ceiling=typed["ceiling_cm"] * 10,
            table=typed["table_cm"] * 10,
            rig=typed["rig_mm"],
            pixels=round(typed["pixels"]),
            motion=typed["motion"],
            fall=typed["fall_cm"] * 10,
            speed=typed["speed_cm"] * 10,
            shutter=typed["shutter"],
        )


def lens_defaults(plan: LightPlan, *, distance: str = "") -> dict[str, Any]:
    """A 50 mm lens over a plate, in this room. ``distance`` is that of a shot: tight is a bite of it, wide a laid table."""
    subject, margin = SUBJECTS.get(distance, SUBJECTS["medium"])
    return {
        "sensor": "full",
        "focal_length": 50,
        "f_number": 8,
        "subject_mm": subject,
        "margin_percent": margin,
        "ceiling_cm": plan.ceiling_cm,
        "table_cm": plan.table_cm,
        "rig_mm": RIG,
        "motion": FALLING,
        "fall_cm": 20,
        "speed_cm": 50,
        "shutter": 250,
        "pixels": 8256,
    }
