"""What is it made of, how sure are we, and which test would tell most next."""
