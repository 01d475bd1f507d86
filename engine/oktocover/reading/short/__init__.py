"""The short forms of a site file, written out as plain data before the typed model is made.

What comes out is the very data the long form would have: nothing unwritten becomes a yes or a no, every fact keeps the
place where it was really written, and says how it is known.
"""

from oktocover.reading.short.expand import expand
from oktocover.reading.short.text import expanded_text

__all__ = ["expand", "expanded_text"]
