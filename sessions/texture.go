package sessions

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// TextureFor reads a texture by its word or its number, as "soft" or "3".
func TextureFor(s string) (texture int, err error) {
	s = strings.ToLower(strings.TrimSpace(s))
	if n, err := strconv.Atoi(s); err == nil && n >= 1 && n <= Textures {
		return n, nil
	}
	if i := slices.Index(textureWords[:], s); i > 0 {
		return i, nil
	}
	return 0, fmt.Errorf("%q is no texture: take 1 to %d, or %s", clean(s, 40), Textures, strings.Join(textureWords[1:], ", "))
}
