"""Pure reckoning: no Django, no database, no clock, no chance; codes and values, no sentences."""
