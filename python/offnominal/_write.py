"""Files written so that nothing is lost."""

import errno
import os
import tempfile


def write_new(path, text, force=False):
    """Write a text file as a whole or not at all; what is there already stays unless `force` is true.

    Parameters
    ----------
    path : str or os.PathLike
    text : str
    force : bool

    Raises
    ------
    FileExistsError
        If the file is there and `force` is not true.
    FileNotFoundError
        Without its folder.
    """
    path = os.fspath(path)
    folder = os.path.dirname(path) or "."
    if not os.path.isdir(folder):
        raise FileNotFoundError(errno.ENOENT, "no such folder", folder)
    handle, part = tempfile.mkstemp(prefix=".", suffix=".part", dir=folder, text=True)
    try:
        with open(handle, "w", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.chmod(part, 0o666 & ~_umask())
        if force:
            os.replace(part, path)
        else:
            try:
                os.link(part, path)  # the one way to make a file that fails if another made it first
            except FileExistsError:
                raise FileExistsError(f"{path} is there already; force replaces it") from None
            except OSError:  # a file system without links
                if os.path.exists(path):
                    raise FileExistsError(f"{path} is there already; force replaces it") from None
                os.replace(part, path)
    finally:
        if os.path.exists(part):
            os.remove(part)


def _umask():
    mask = os.umask(0)
    os.umask(mask)
    return mask
