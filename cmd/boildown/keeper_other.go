//go:build !unix

package main

import "os"

// keeper needs a terminal that two processes share; there is none here.
type keeper struct{}

func startKeeper(*os.File, string, string) *keeper { return nil }

func (*keeper) release() {}

func keep([]string) int { return statusUsage }
