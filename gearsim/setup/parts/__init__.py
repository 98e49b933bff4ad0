"""Parts of a drivetrain as a shop lists them: what they are, what they allow, what they weigh."""
