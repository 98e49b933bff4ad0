"""What recorded rides tell of rider, bike and gears."""
