"""Many athletes, one course: which drivetrain suits whom, and how few will do for all."""
