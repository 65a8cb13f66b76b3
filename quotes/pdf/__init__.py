"""Papers for the client, by reportlab."""
