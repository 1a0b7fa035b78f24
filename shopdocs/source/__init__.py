"""From text to the model."""
