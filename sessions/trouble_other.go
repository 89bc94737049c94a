//go:build !unix && !windows

package sessions

func isFull(error) bool     { return false }
func isReadOnly(error) bool { return false }
