"""The tests: a package, so that none of this name that another distribution brings along is taken for it."""
