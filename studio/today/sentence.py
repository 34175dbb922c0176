"""The one sentence the day opens with: what is on, and what someone must look at."""

from datetime import date

NUMBERS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")


def counted(count: int, one: str, many: str) -> str:
    """One invoice, two invoices, 12 invoices: words up to nine, as a sentence begins."""
    word = NUMBERS[count] if count < len(NUMBERS) else str(count)
    return f"{word} {one if count == 1 else many}"


def joined(parts: list[str]) -> str:
    """One, two and three: the first capital, the rest not."""
    small = [parts[0], *(part[0].lower() + part[1:] for part in parts[1:])]
    if len(small) == 1:
        return small[0]
    return ", ".join(small[:-1]) + " and " + small[-1]


def opening(
    *, shoots_today: int, next_on: date | None, on: date, unsigned: int, late: int | None, ending: int, questions: int
) -> str:
    """How things stand. ``late`` is None for someone who sees no money."""
    if shoots_today:
        first = f"{counted(shoots_today, 'shoot', 'shoots')} today."
    elif next_on:
        days = (next_on - on).days
        first = (
            "Nothing to shoot today, the next shoot is tomorrow."
            if days == 1
            else f"Nothing to shoot today, the next shoot is in {days} days."
        )
    else:
        first = "No shoot is planned."
    found = []
    if unsigned:
        found.append(counted(unsigned, "release is not signed", "releases are not signed"))
    if questions:
        found.append(counted(questions, "question of a client waits", "questions of clients wait"))
    if late:
        found.append(counted(late, "invoice is late", "invoices are late"))
    if ending:
        found.append(counted(ending, "licence ends within 60 days", "licences end within 60 days"))
    return f"{first} {joined(found)}." if found else f"{first} Nothing is late and nothing waits for you."
