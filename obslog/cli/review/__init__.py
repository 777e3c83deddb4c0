"""Commands that give a verdict: the review and the advice on lending."""
