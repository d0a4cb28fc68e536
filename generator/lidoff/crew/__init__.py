"""Who does long work: the processors of this machine, or workers on others. The outcome is the same to the byte."""
