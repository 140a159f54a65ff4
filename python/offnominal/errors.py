"""The exceptions of offnominal. Each carries as attributes what its text says."""

from errno import ENOENT
from typing import Any, Final


class Error(Exception):
    """Base of the exceptions of offnominal."""

    def __reduce__(self) -> "tuple[Any, ...]":
        # Restored with what it carries, whoever restores it: Dask's workers would set the attributes of Python's own errors.
        return _restored, (type(self), self.args, self.__dict__)


def _restored(kind: "type[Error]", args: "tuple[Any, ...]", fields: "dict[str, Any]") -> Error:
    error = kind.__new__(kind)
    error.args = args
    error.__dict__.update(fields)
    return error


# How an argument, or a column of a table, is called where that is not the name of what a reason speaks of.
ARGUMENTS: Final = {
    "standard_airflow": "airflow",
    "lift": "line_lift",
    "suction_size": "line_suction",
    "liquid_size": "line_liquid",
}


class Refused(Error, ValueError):
    """There is no answer, and this is why.

    Numbers are in the caller's units, temperatures of SI calls in degrees Celsius; the text names its units.

    Attributes
    ----------
    why : str
        The kind of reason, such as ``"outside"``, ``"blank"``, ``"unknown_stage"``.
    about : str
        Which argument it is about, such as ``"outdoor_dry_bulb"`` or ``"airflow"``; ``"nothing"`` if about no single input.
    subject : str
        What the sentence speaks of, by its name in all languages: of an airflow in standard air ``"standard_airflow"``.
    axis : int or None
        Number of the grid axis concerned.
    node : int or None
        Row-major number of the grid node concerned.
    value : float
        The offending value.
    lower, upper : float
        The least and the greatest value that would be accepted.
    """

    def __init__(
        self,
        message: str,
        why: str = "none",
        about: str = "nothing",
        axis: int | None = None,
        node: int | None = None,
        value: float = 0.0,
        lower: float = 0.0,
        upper: float = 0.0,
    ) -> None:
        super().__init__(message)
        self.why = why
        self.about = ARGUMENTS.get(about, about)
        self.subject = about
        self.axis = axis
        self.node = node
        self.value = value
        self.lower = lower
        self.upper = upper

    @property
    def template(self) -> str:
        """str: the sentence of the reason, one of a few dozen, for an app that translates it: ``{what}`` stands for what it is about,
        ``{value}``, ``{lower}`` and ``{upper}`` for its numbers."""
        from offnominal import _core

        return _core.sentence(self.why, self.subject, self.value, self.lower, self.upper)


class InputError(Error, ValueError):
    """A file, or an object being built, is not what it should be.

    Attributes
    ----------
    file : str
        The file, or ``""``.
    line, column : int
        Where in the file, counted from 1; 0 if unknown.
    problem : str
        What is wrong.
    text : str
        The offending text, as typed.
    accepted : str
        What would be right.
    problems : tuple of InputError
        All that is wrong with a pasted page, this first; empty where only this was looked for.
    """

    def __init__(
        self,
        message: str,
        file: str = "",
        line: int = 0,
        column: int = 0,
        problem: str = "",
        text: str = "",
        accepted: str = "",
    ) -> None:
        super().__init__(message)
        self.file = file
        self.line = line
        self.column = column
        self.problem = problem
        self.text = text
        self.accepted = accepted
        self.problems: tuple[InputError, ...] = ()


class MissingFile(InputError, FileNotFoundError):
    """There is no such file: an `InputError` that is Python's own error too.

    Attributes
    ----------
    filename : str
        As `file`.
    errno : int
        That of a missing file.
    """

    __str__ = Exception.__str__

    def __new__(cls, *given: object, **named: object) -> "MissingFile":
        # That of ValueError makes none; who restores errors by their `__new__` (Dask's workers) asks for it.
        return OSError.__new__(cls)

    @property
    def errno(self) -> int:  # type: ignore[override]
        return ENOENT

    @property
    def filename(self) -> str:  # type: ignore[override]
        return self.file
