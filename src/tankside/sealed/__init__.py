"""Files of this account's own that are taken only as they were kept; a help, never a must."""

from tankside.sealed.private_file import fetch, keep, place, sealed

__all__ = ["fetch", "keep", "place", "sealed"]
