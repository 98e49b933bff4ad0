"""A recorded ride, predicted from another."""
