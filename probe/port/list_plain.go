//go:build darwin && !cgo

package port

// list has names only: the library reads USB identities on macOS through cgo.
func list() ([]Found, error) { return plainList() }
