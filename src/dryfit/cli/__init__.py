"""The command line: arguments in, workflow called, words out."""
