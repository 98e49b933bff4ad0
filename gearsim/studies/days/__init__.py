"""The same question on days as they may turn out."""
