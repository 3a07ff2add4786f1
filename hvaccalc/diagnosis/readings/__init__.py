"""What was typed, brought to numbers: draws, instruments, signs, and what they rest on."""
