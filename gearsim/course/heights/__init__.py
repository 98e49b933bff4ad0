"""Heights as recorded, made believable."""
