"""The five questions, answered as findings."""
