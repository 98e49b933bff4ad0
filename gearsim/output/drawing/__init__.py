"""What all pictures are drawn with."""
