"""CSV lists beside a plan (athletes, ...), as spreadsheets write them, validated."""
