"""Where a job stands, as a line of steps."""

from dataclasses import dataclass

ORDER = ("enquiry", "pencilled", "confirmed", "shot", "delivered")
WORDS = {
    "enquiry": "Enquiry",
    "pencilled": "Day held",
    "confirmed": "Confirmed",
    "shot": "Shot",
    "finishing": "Choosing and finishing",
    "delivered": "Delivered",
}


@dataclass(frozen=True, slots=True)
class Step:
    """One step of the line: its words, whether it is behind us, whether it is the one that waits."""

    words: str
    is_done: bool
    is_current: bool


def job_steps(state: str) -> tuple[Step, ...]:
    """The line for a state; the step that waits comes after what is done. Cancelled and postponed jobs have no line."""
    if state not in ORDER:
        return ()
    names = list(WORDS)
    # What has happened, and so which step is waited for: a shot job waits for choosing and finishing, a delivered one for nothing.
    current = {
        "enquiry": "enquiry",
        "pencilled": "pencilled",
        "confirmed": "confirmed",
        "shot": "finishing",
        "delivered": "",
    }[state]
    place = names.index(current) if current else len(names)
    return tuple(
        Step(WORDS[name], is_done=index < place, is_current=index == place) for index, name in enumerate(names)
    )
