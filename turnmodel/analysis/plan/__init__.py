"""How a part is made: the ordered steps at the lathe and the bench, proven on a simulated lathe."""
