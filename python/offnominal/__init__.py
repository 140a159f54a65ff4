"""What a split air conditioner should deliver, what it does deliver, and the proof."""

from offnominal._core import __version__
from offnominal.errors import Error, InputError, Refused

__all__ = ["Error", "InputError", "Refused", "__version__"]
