"""Stage graph, forcing by the water, and the kernel that runs random histories."""
