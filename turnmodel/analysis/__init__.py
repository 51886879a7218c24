"""What is found out about a design: weight, balance, how parts meet, and the rules of the trade."""
