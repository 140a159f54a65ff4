"""Files written so that nothing is lost, and files read that somebody else may have made."""

import contextlib
import errno
import json
import os
import stat

from offnominal.errors import InputError

MOST_BYTES = 16 << 20  # of a file that is read whole, as the readers of systems and visits have it


def write_new(path, data, force=False):
    """Write a file as a whole or not at all; what is there already stays unless `force` is true.

    Parameters
    ----------
    path : str, bytes or os.PathLike
    data : str or bytes
        Text is written as UTF-8.
    force : bool
        Replace a plain file, and keep its mode. A link, a device or a pipe is never replaced.

    Raises
    ------
    FileExistsError
        If the file is there and `force` is not true, or it is no plain file.
    FileNotFoundError
        Without its folder.
    """
    with new_file(path, force) as file:
        file.write(data.encode() if isinstance(data, str) else data)


@contextlib.contextmanager
def new_file(path, force=False):
    """The same for what is written bit by bit: a binary file that stands under its name once all of it is on the disk."""
    path = os.fsdecode(path)
    folder = os.path.dirname(path) or "."
    if not os.path.isdir(folder):
        raise FileNotFoundError(errno.ENOENT, "no such folder", folder)
    mode = _mode_of(path, force)
    part = os.path.join(folder, f".{os.urandom(8).hex()}.part")
    # The system takes the umask off; nothing here asks for it, since other threads make files too.
    handle = os.open(part, os.O_CREAT | os.O_EXCL | os.O_WRONLY | getattr(os, "O_BINARY", 0), 0o666)
    try:
        with open(handle, "wb") as file:
            if mode is not None and hasattr(os, "fchmod"):
                os.fchmod(handle, mode)
            yield file
            file.flush()
            os.fsync(handle)
        if force:
            _mode_of(path, force)  # as it is by now
            os.replace(part, path)
        else:
            _link(part, path)
    finally:
        if os.path.exists(part):
            os.remove(part)
    _sync_folder(folder)


def _mode_of(path, force):
    """The mode of the file that is to be replaced; None where there is none."""
    try:
        found = os.lstat(path)
    except FileNotFoundError:
        return None
    if not force:
        raise FileExistsError(f"{path} is there already; force replaces it")
    if not stat.S_ISREG(found.st_mode):
        raise FileExistsError(f"{path} is there already and is no plain file; accepted: another name")
    return stat.S_IMODE(found.st_mode)


def _link(part, path):
    try:
        os.link(part, path)  # the one way to make a file that fails if another made it first
    except FileExistsError:
        raise FileExistsError(f"{path} is there already; force replaces it") from None
    except OSError:  # a file system without links
        _mode_of(path, False)
        os.replace(part, path)


def _sync_folder(folder):
    """So that the name is on the disk too, where a system can say that of a folder."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY | getattr(os, "O_DIRECTORY", 0))
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def read_whole(path, most=MOST_BYTES):
    """The text of a file that is not too large to hold.

    Raises
    ------
    InputError
        For one that is, or is not UTF-8.
    """
    with open(path, "rb") as file:
        data = file.read(most + 1)
    if len(data) > most:
        raise InputError(f"{path}: more than {most:,} bytes in a file; accepted: at most that")
    try:
        return data.decode()
    except UnicodeDecodeError:
        raise InputError(f"{path}: not valid UTF-8; accepted: plain text, saved as UTF-8") from None


def read_json(path):
    """What a file of JSON holds.

    Raises
    ------
    InputError
        For one that is not JSON, or that `read_whole` refuses.
    """
    text = read_whole(path)
    try:
        return json.loads(text)
    except (ValueError, RecursionError) as error:
        raise InputError(f"{path}: {error}; accepted: JSON") from None
