"""The web workbench: the pages and forms of the cases in one folder, on this machine only."""
