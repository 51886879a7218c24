"""The one page: the whole object in one file that opens anywhere, without a network."""
