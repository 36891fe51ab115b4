"""The JSON answers of the program as declared types, one place for each; schemas come from them."""
