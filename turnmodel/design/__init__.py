"""What a script writes: features, parts, joints and states, checked as they are built."""
