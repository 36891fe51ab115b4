"""The web workbench: read-only pages of the cases in one folder, on this machine only."""
