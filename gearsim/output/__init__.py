"""Results → text, figures, files; nothing here computes a result."""
