"""What each cause adds to a mount's landing errors, and what they would be without it."""
