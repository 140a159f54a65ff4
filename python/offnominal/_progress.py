"""How far long work at the command has come, for a person who waits at a terminal."""

import sys
import time


def told(parts, what, stream=None):
    """Passes on parts of the work, each a pair of what it is and how much of all, 0 to 1, is done with it; says so on a terminal."""
    stream = sys.stderr if stream is None else stream
    shows = stream is not None and stream.isatty()
    started = said = time.monotonic()
    for part, done in parts:
        yield part
        now = time.monotonic()
        # What is over in a second needs no telling.
        if shows and done > 0.0 and now - started > 1.0 and now - said > 0.2:
            said = now
            left = (now - started) * (1.0 / done - 1.0)
            stream.write(f"\r{what}: {100.0 * done:3.0f} %, {_in_words(left)} left \x1b[K")
            stream.flush()
    if said > started:
        stream.write("\r\x1b[K")
        stream.flush()


def _in_words(seconds):
    return f"{seconds:.0f} s" if seconds < 90.0 else f"{seconds / 60.0:.0f} min"
