"""From a program and a car's answers to a judgement that can be explained."""
