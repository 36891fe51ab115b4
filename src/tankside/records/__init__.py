"""Case files and the journal on disk: nothing is lost or half saved."""
