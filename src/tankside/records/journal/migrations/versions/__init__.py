"""The steps of the schema; a step that was released never changes."""
