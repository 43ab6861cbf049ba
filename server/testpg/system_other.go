//go:build !unix

package testpg

import "syscall"

type processAttributes = syscall.SysProcAttr

func ordinary(string) (*processAttributes, error) { return nil, nil }

func inMemory() string { return "" }
