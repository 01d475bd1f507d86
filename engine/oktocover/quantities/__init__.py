"""Trade notation to exact numbers and back. Imports nothing else of the project."""

from .dimensions import NAMES, Dimension, Number, dimension, magnitude, number
from .errors import QuantityError
from .ladders import PIPE, PIPE_SIZES, WIRE, next_size
from .moments import read_clock, read_date, read_moment
from .read import Quantity, dimension_of_unit, read, read_any, readable
from .show import show, show_apart, show_range
from .steps import closer_than_tape, reading_step, trade_step

__all__ = [
    "NAMES",
    "PIPE",
    "PIPE_SIZES",
    "WIRE",
    "Dimension",
    "Number",
    "Quantity",
    "QuantityError",
    "closer_than_tape",
    "dimension",
    "dimension_of_unit",
    "magnitude",
    "next_size",
    "number",
    "read",
    "read_any",
    "readable",
    "read_clock",
    "read_date",
    "read_moment",
    "reading_step",
    "show",
    "show_apart",
    "show_range",
    "trade_step",
]
