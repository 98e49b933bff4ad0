"""What is wrong with a track as it came, repaired and told."""
