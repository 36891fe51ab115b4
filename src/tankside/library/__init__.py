"""Knowledge files: read, check, and hand over as claims."""
