"""One use per file; assembles a case view into the types each science room owns."""
