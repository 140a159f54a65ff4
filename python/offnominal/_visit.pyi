import os
from collections.abc import Mapping
from typing import Any

def write_visit(
    visit: str | os.PathLike[str] | Mapping[str, Any], path: str | os.PathLike[str] | None = None, *, force: bool = False
) -> str: ...
