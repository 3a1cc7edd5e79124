"""Why solder joints crack and how long they last: strain, fatigue, Weibull, rates, growth, bow, inspection."""
