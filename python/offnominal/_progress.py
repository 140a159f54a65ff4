"""How far long work at the command has come, for a person who waits at a terminal."""

import sys
import time


class Progress:
    """Says on a terminal how much of the work is done; elsewhere nothing. At the end of ``with`` it is wiped out."""

    def __init__(self, what, stream=None):
        self._what = what
        self._stream = sys.stderr if stream is None else stream
        self._shows = self._stream is not None and self._stream.isatty()
        self._started = self._said = time.monotonic()

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self._said > self._started:
            self._stream.write("\r\x1b[K")
            self._stream.flush()

    def __call__(self, done):
        """Hears how much of all is done, 0 to 1."""
        now = time.monotonic()
        # What is over in a second needs no telling.
        if self._shows and done > 0.0 and now - self._started > 1.0 and now - self._said > 0.2:
            self._said = now
            left = (now - self._started) * (1.0 / done - 1.0)
            self._stream.write(f"\r{self._what}: {100.0 * done:3.0f} %, {_in_words(left)} left \x1b[K")
            self._stream.flush()


def told(parts, what, stream=None):
    """Passes on parts of the work, each a pair of what it is and how much of all, 0 to 1, is done with it; says so on a terminal."""
    with Progress(what, stream) as progress:
        for part, done in parts:
            yield part
            progress(done)


def _in_words(seconds):
    return f"{seconds:.0f} s" if seconds < 90.0 else f"{seconds / 60.0:.0f} min"
