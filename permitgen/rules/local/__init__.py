"""What local ordinances ask for beyond the code."""
