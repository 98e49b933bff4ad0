"""What is bolted together, and whether it fits."""
