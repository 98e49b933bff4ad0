"""A predicted ride against the recorded one, shown."""
