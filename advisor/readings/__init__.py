"""What a program means: each module turns a checked program into one generated Python function."""
