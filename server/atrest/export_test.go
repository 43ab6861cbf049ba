package atrest

// Remembered is how many shapes are in memory.
func Remembered() (n int) {
	templates.Range(func(any, any) bool {
		n++
		return true
	})
	return n
}
