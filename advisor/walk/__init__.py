"""The walk: asking a car's questions beside the car."""
