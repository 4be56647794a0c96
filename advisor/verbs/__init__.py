"""One short function a verb: reads what the words name, calls one package, shows the result."""
