"""How a pack ages: readings brought to one temperature, their trend, and when they may reach a limit."""
