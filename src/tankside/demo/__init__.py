"""The whole job on an invented case, told in the terminal."""
