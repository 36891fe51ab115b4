"""Knowledge files: read, check, and hand over as claims."""

from tankside.library.load import data_root, load, read_knowledge

__all__ = ["data_root", "load", "read_knowledge"]
