"""The command line: ties the parts together behind the command `advisor`."""
