"""Imports every trade's measures, so that the registry is whole. One line a module."""

from oktocover.measures import view as view
