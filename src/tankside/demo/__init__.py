"""The whole job told on an invented case."""
