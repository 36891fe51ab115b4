"""How the schema of a journal came to be, one module a step."""
