"""What the equipment officer does with the records as a whole: their health, joining names, handing over."""
