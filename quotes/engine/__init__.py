"""What a commission costs. Plain Python, money in Decimal."""
