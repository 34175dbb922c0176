"""What a thing is called: on a release and on a picture, perhaps months apart."""


def thing_key(description: str) -> str:
    """The same for two descriptions that differ in capitals and spaces only. Nothing else is guessed: the safe side."""
    return " ".join(description.casefold().split())
