import os
from collections.abc import Mapping, Sequence
from typing import Any, Literal, TypeVar

from offnominal._system import System
from offnominal._visit import Visit

_Table = TypeVar("_Table")  # a DataFrame of pandas or Polars, a Table of Arrow, or a dict of arrays

USUAL: tuple[str, ...]

def prove_many(
    systems: System | Mapping[str, System],
    table: _Table,
    visit: Visit | str | os.PathLike[str] | Mapping[str, Any],
    *,
    units: Literal["IP", "SI"],
    system_column: str = "system",
    columns: Sequence[str] = ...,
    draws: bool = True,
    threads: int = 1,
    strict: bool = False,
) -> _Table: ...
def prove_in_duckdb(
    connection: Any,
    systems: System | Mapping[str, System],
    visit: Visit | str | os.PathLike[str] | Mapping[str, Any],
    *,
    asked: Sequence[str],
    units: Literal["IP", "SI"],
    columns: Sequence[str] = ...,
    name: str = "prove",
    system_column: str = "system",
    draws: bool = True,
    threads: int = 1,
) -> None: ...
