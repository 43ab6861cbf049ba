package stats

// Rook: the four sides. Queen: the corners as well.
const ()
