//go:build !unix

package main

import "os/exec"

// ownGroup does nothing here: the command alone is ended, not its children.
func ownGroup(cmd *exec.Cmd) {}
