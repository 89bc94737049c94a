package sessions

import (
	"context"
	"html"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"
)

// chromium finds the browser that the page is tried in; without one the test
// is skipped.
func chromium(t *testing.T) string {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Skip("no Chromium here to open the report in")
	return ""
}

// The report in a real browser: it lies inside 360 px, asks for nothing, and
// shows the drawing that is meant for the width.
func TestReportInABrowser(t *testing.T) {
	if testing.Short() {
		t.Skip("starts a browser")
	}
	browser := chromium(t)
	page := html.EscapeString(report(t, plainBatch(), hurtBatch()))
	dir := t.TempDir()
	path := filepath.Join(dir, "frames.html")
	frames := `<!doctype html><body style="margin:0">`
	for _, width := range []string{"360", "1000"} {
		frames += `<iframe style="border:0;height:900px;width:` + width + `px" srcdoc="` + page + `"></iframe>`
	}
	frames += `<output id="o"></output><script>
onload = () => { for (const f of document.querySelectorAll("iframe")) {
  const d = f.contentDocument, wide = f.clientWidth;
  const over = [...d.querySelectorAll("body *")].filter(e => !e.closest(".table") && e.getBoundingClientRect().right > wide + 0.5);
  const shown = [...d.querySelectorAll("svg.plot")].filter(e => e.getBoundingClientRect().height > 0).map(e => e.classList[1]);
  o.textContent += "in " + wide + ": width " + d.documentElement.scrollWidth + ", over " + over.length + ", requests " +
    f.contentWindow.performance.getEntriesByType("resource").length + ", shown " + [...new Set(shown)].join(" ") + "; ";
}};</script>`
	if err := os.WriteFile(path, []byte(frames), 0o600); err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithTimeout(t.Context(), time.Minute)
	defer stop()
	out, err := exec.CommandContext(ctx, browser, "--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
		"--user-data-dir="+filepath.Join(dir, "profile"), "--virtual-time-budget=3000", "--dump-dom", "file://"+path).Output()
	if err != nil {
		t.Skipf("the browser does not start here: %v", err)
	}
	said := regexp.MustCompile(`<output id="o">([^<]*)<`).FindStringSubmatch(string(out))
	const want = "in 360: width 360, over 0, requests 0, shown narrow; in 1000: width 1000, over 0, requests 0, shown wide; "
	if said == nil || said[1] != want {
		t.Errorf("got %q, want %q", said, want)
	}
}

// Contrast as WCAG 2.1 defines it, success criteria 1.4.3 (text, 4.5:1) and
// 1.4.11 (graphics, 3:1), of every colour against the page.
func TestReportColoursHaveContrast(t *testing.T) {
	themes := regexp.MustCompile(`:root\{([^}]*)\}`).FindAllStringSubmatch(plotText, -1)
	if len(themes) != 3 {
		t.Fatalf("%d themes, want light, dark and print", len(themes))
	}
	for i, theme := range themes {
		colours := map[string]string{}
		for _, c := range regexp.MustCompile(`--(\w+):(#[0-9a-f]+)`).FindAllStringSubmatch(theme[1], -1) {
			colours[c[1]] = c[2]
		}
		for name, colour := range colours {
			least := 4.5
			switch name {
			case "paper", "grid": // the grid is decoration
				continue
			case "stall": // shading that letters stand on
				if r := contrast(colours["soft"], colour); r < 4.5 {
					t.Errorf("theme %d: letters on the stall have a contrast of %.2f", i, r)
				}
				continue
			}
			if r := contrast(colour, colours["paper"]); r < least {
				t.Errorf("theme %d: %s %s has a contrast of %.2f, want %.1f", i, name, colour, r, least)
			}
		}
	}
}

func contrast(a, b string) float64 {
	x, y := luminance(a), luminance(b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

func luminance(hex string) float64 {
	hex = strings.TrimPrefix(hex, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		v, _ := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		c := float64(v) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}
