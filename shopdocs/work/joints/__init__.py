"""What each joint cuts out of its pieces and adds to them, in the coordinates of the piece."""
