from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from crispy_forms.layout import Fieldset, Layout, Row
from django import forms

from clients.compass import compass_words
from shared.words.forms import ChoiceCards, EditedFormMixin, QuantityField, SheetForm, SheetModelForm
from shoots.brief.models import Shoot
from shoots.light.lens import SENSORS
from shoots.light.lens_answers import FALLING, MOVING, RIG, STILL, SUBJECTS, Question
from shoots.light.models import Camera, LightPlan, OwnLens
from shoots.light.queries import Kit, KitchenGlass, ask_of, chosen_window, sensor_of, windows_of
from shoots.light.shot_lens import FALLS, USUAL_STOP
from shoots.plan.models import Shot

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
    "behind_cm": (20, 3000),
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
            "behind_cm": "Way back for the camera, cm",
        }
        help_texts = {
            "lamp_hour": "Hours as on the plan: 12 is the window wall, 3 the right end.",
            "cook_hour": "Shots from above are told as the cook sees them.",
            "table_aside_cm": "Of the window’s middle. Left is negative.",
            "behind_cm": "From the middle of the table to the wall behind you. Empty: not measured.",
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
                Row("behind_cm", css_class="fields-2 at-foot"),
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

    def __init__(self, *args: Any, cameras: Iterable[Camera] = (), **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.sensors = {**{f"own-{each.pk}": sensor_of(each) for each in cameras}, **SENSORS}
        self.fields["sensor"].choices = [(key, each.name) for key, each in self.sensors.items()]
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
            sensor=self.sensors[typed["sensor"]],
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


def shot_defaults(plan: LightPlan, shot: Shot, kit: Kit, cameras: Iterable[Camera]) -> dict[str, Any]:
    """The question a planned shot begins with: its frame, what was fixed for it, and the studio's own camera."""
    ask, camera = ask_of(shot), next(iter(cameras), None)
    found = lens_defaults(plan, distance=shot.distance) | {
        "focal_length": ask.focal or 50,
        "f_number": f"{ask.stop or USUAL_STOP:g}",
        "motion": STILL if not ask.motion else FALLING if ask.action in FALLS else MOVING,
        "pixels": kit.body.pixels,
    }
    if ask.frame:
        found |= {"subject_mm": f"{ask.frame:g}", "margin_percent": 0}
    if ask.shutter and ask.shutter <= 1:
        found["shutter"] = round(1 / ask.shutter)
    return found | ({"sensor": f"own-{camera.pk}"} if camera else {})


# What the studio shoots with


def _check_span(form: Any, low: str, high: str, sentence: str) -> None:
    found = form.cleaned_data
    if found.get(low) is not None and found.get(high) is not None and found[high] < found[low]:
        form.add_error(high, sentence)


class CameraForm(EditedFormMixin, SheetModelForm):
    long_mm = _number("Sensor, long side", "3", "120", unit="mm")
    short_mm = _number("Short side", "2", "120", unit="mm")
    pixels = forms.IntegerField(
        label="Pixels along the long side",
        min_value=500,
        max_value=40000,
        widget=forms.TextInput({"inputmode": "numeric", "autocomplete": "off"}),
        error_messages={"min_value": "Enter 500 to 40,000.", "max_value": "Enter 500 to 40,000."},
    )

    class Meta:
        model = Camera
        fields = ["name", "long_mm", "short_mm", "pixels"]
        labels = {"name": "Camera"}
        help_texts = {"name": "As you call it."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper.layout = Layout(
            "version", "name", Row("long_mm", "short_mm", "pixels", css_class="fields-3 at-foot")
        )

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        _check_span(self, "short_mm", "long_mm", "The long side is no shorter than the short one.")
        return found


class OwnLensForm(EditedFormMixin, SheetModelForm):
    shortest_mm = forms.IntegerField(label="Focal length, mm", min_value=4, max_value=1200)
    longest_mm = forms.IntegerField(label="To, if a zoom", required=False, min_value=4, max_value=1200)
    widest = _number("Widest aperture, f/", "0.7", "64")
    nearest_cm = forms.IntegerField(
        label="Focuses from, cm",
        required=False,
        min_value=1,
        max_value=2000,
        help_text="From the sensor, as the maker says.",
    )

    class Meta:
        model = OwnLens
        fields = ["name", "shortest_mm", "longest_mm", "widest", "nearest_cm"]
        labels = {"name": "Name"}
        help_texts = {"name": "Empty: by its focal length."}

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["name"].required = self.fields["widest"].required = False
        for name in ("shortest_mm", "longest_mm", "nearest_cm"):
            field = self.fields[name]
            field.widget = forms.TextInput({"inputmode": "numeric", "autocomplete": "off"})
            said = f"Enter {field.min_value:,} to {field.max_value:,}."
            field.error_messages |= {"min_value": said, "max_value": said}
            self.dress(field)
        if self.instance.pk and self.instance.longest_mm == self.instance.shortest_mm:
            self.initial["longest_mm"] = None
        self.helper.layout = Layout(
            "version",
            Row("shortest_mm", "longest_mm", "name", css_class="fields-3 at-foot"),
            Row("widest", "nearest_cm", css_class="fields-2 at-foot"),
        )

    def clean(self) -> dict[str, Any]:
        found = super().clean() or self.cleaned_data
        short = found.get("shortest_mm")
        if short is not None and "longest_mm" not in self.errors:
            found["longest_mm"] = found.get("longest_mm") or short
            _check_span(self, "shortest_mm", "longest_mm", f"A zoom ends at more than {short} mm.")
            span = f"{short} mm" if found.get("longest_mm") == short else f"{short}–{found.get('longest_mm')} mm"
            found["name"] = found.get("name") or span
        return found
