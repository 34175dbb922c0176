from shared.files.refusals import FileTooLarge, FileTypeRefused


def test_sizes_and_types_are_said_as_people_say_them() -> None:
    assert "“menu.pdf” has 96 MB; one file may have 80 MB." in str(FileTooLarge("menu.pdf", 96 * 1024**2, 80 * 1024**2))
    assert "1.5 MB" in str(FileTooLarge("menu.pdf", 3 * 1024**2 // 2, 1024**2))
    told = str(FileTypeRefused("receipt.pdf", "text/plain", frozenset({"application/pdf"})))
    assert told.startswith("“receipt.pdf” is not a PDF file: inside it is text.")
