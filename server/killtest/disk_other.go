//go:build !linux

package killtest

func mountSmall(string, int) (func() error, error) { return nil, ErrNoDisk }
