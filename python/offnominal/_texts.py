"""Texts and names of files on their way to the core, which takes nothing but UTF-8."""

from __future__ import annotations

from typing import TYPE_CHECKING

import os

from offnominal import _core
from offnominal.errors import InputError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from typing import Any


def error_at(file: str, line: int, column: int, problem: str, text: str, accepted: str) -> InputError:
    """The error of the reader's making, at another place."""
    file = visible(file)
    message = _core.error_text(file, line, column, problem, text, accepted)
    return InputError(message, file, line, column, problem, text, accepted)


def in_words(value: object) -> str:
    """A value as an error shows it."""
    try:
        text = " ".join(repr(value).split())
    except ValueError:  # Python writes no whole number of more than some thousand digits
        return "a number of thousands of digits"
    return text if len(text) <= 60 else text[:57] + "..."


def check(text: str, file: str, line: int = 0, column: int = 0) -> None:
    """Python holds halves of characters (surrogates), which no text file does."""
    try:
        text.encode()
    except UnicodeEncodeError as error:
        half = text[error.start].encode("unicode_escape").decode()
        raise error_at(file, line, column, "half a character", half, "text that can be written as UTF-8") from None


def check_named(text: object, name: object) -> None:
    """`check` what to call a text, and the text itself."""
    if isinstance(name, str):
        check(name, "")
    if isinstance(text, str):
        check(text, str(name))


def counted(number: int, what: str) -> str:
    """`1 row`, `2 rows`."""
    return f"{number} {what}{'' if number == 1 else 's'}"


def visible(file: str) -> str:
    """The name of a file as an error or another text shows it, where not all of its bytes are UTF-8."""
    return file.encode(errors="backslashreplace").decode()


def nearest(word: str, accepted: Sequence[str], surely: bool = False) -> str:
    """Which of the accepted words may be meant; none where half a character is in the word."""
    try:
        word.encode()
    except UnicodeEncodeError:
        return ""
    return _core.nearest(word, accepted, surely)


def path_of(path: str | bytes | os.PathLike[Any]) -> str | bytes:
    """The name of a file as the core takes it: in the system's bytes where they are not UTF-8, which Python has as halves of characters.

    Raises
    ------
    TypeError
        For what is no path.
    InputError
        For half a character that stands for no byte.
    """
    if not isinstance(path, (str, bytes, os.PathLike)):
        raise TypeError(f"path: {in_words(path)} is no path; accepted: str, bytes or os.PathLike")
    path = os.fsdecode(path)
    try:
        path.encode()
    except UnicodeEncodeError:
        try:
            return os.fsencode(path)
        except UnicodeEncodeError:
            check(path, "")
    return path
