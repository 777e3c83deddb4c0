"""What an evening offers: rising and setting, darkness, visibility, and the Sun's cautions."""
