"""One module for the pages of each area; each has its blueprint `bp`."""
