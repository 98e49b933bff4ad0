"""What rides have taught, shown."""
