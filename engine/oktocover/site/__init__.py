"""The typed site model, a module a trade. Nothing here knows files or lines."""

from oktocover.site.root import Site, element_lists

__all__ = ["Site", "element_lists"]
