"""One use case a module: the steps in order, from files to a result."""
