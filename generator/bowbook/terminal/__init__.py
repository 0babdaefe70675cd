"""What the commands say, ask and keep while a maker is at work. It computes nothing of the trade."""
