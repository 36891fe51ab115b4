"""Published water chemistry: one formula per function, with its source and range."""
