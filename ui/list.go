package ui

// cursor is a place in a list longer than its window.
type cursor struct {
	at, top int
}

// move goes by n rows in a list of length count.
func (c *cursor) move(n, count int) { c.at = min(max(c.at+n, 0), max(count-1, 0)) }

// window returns the rows from lo to hi that a window of h rows shows.
func (c *cursor) window(h, count int) (lo, hi int) {
	h = max(h, 1)
	c.at = min(c.at, max(count-1, 0))
	c.top = min(c.top, c.at)
	if c.at >= c.top+h {
		c.top = c.at - h + 1
	}
	c.top = min(c.top, max(count-h, 0))
	return c.top, min(c.top+h, count)
}
