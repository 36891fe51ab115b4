"""Standard output, standard error and progress: shared by commands, demo and measurements."""
