"""Knowledge files: read, check, and hand over as claims."""

from tankside.library.load import load, read_knowledge
from tankside.library.released import data_root

__all__ = ["data_root", "load", "read_knowledge"]
