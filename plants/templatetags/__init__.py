"""What templates need to draw plants and to say what is done to them."""
