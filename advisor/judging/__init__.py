"""From a program and a car's answers to a judgment that can be explained."""
