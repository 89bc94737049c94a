package sysfs

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"boildown/probe"
)

// Sensor is one temperature channel that the kernel offers.
type Sensor struct {
	ID      string        // lasting name: "w1:28-00000574b1d5", "hwmon:max31723/temp1", "iio:max31855/temp"
	Label   string        // what the driver calls it, "" if nothing
	Path    string        // its directory at the moment
	Max     probe.Celsius // where its range ends, 0 if that is not known
	bus     string
	channel string // channel: file name up to the last underscore
}

// Find lists the sensors below root, "" for /sys. Nothing there is no error.
func Find(root string) ([]Sensor, error) {
	if root == "" {
		root = "/sys"
	}
	all := slices.Concat(findW1(root), findHwmon(root), findIIO(root))
	// Two chips of a kind are told apart by where they sit on their bus.
	count := map[string]int{}
	for _, s := range all {
		count[s.ID]++
	}
	for i, s := range all {
		if count[s.ID] > 1 {
			all[i].ID += "@" + seat(s.Path)
		}
	}
	slices.SortFunc(all, func(a, b Sensor) int { return strings.Compare(a.ID, b.ID) })
	return all, nil
}

// seat names the device that a class directory belongs to.
func seat(dir string) string {
	if to, err := filepath.EvalSymlinks(filepath.Join(dir, "device")); err == nil {
		return filepath.Base(to)
	}
	if to, err := filepath.EvalSymlinks(dir); err == nil {
		return filepath.Base(filepath.Dir(to)) // an IIO device lies in its parent
	}
	return filepath.Base(dir)
}

// Families of 1-wire thermometers (Documentation/w1/slaves/w1_therm.rst); the
// range of all of them ends at 125 °C.
var w1Families = []string{"10-", "22-", "28-", "3b-", "42-"}

const w1Max probe.Celsius = 125

func findW1(root string) (all []Sensor) {
	for _, family := range w1Families {
		dirs, _ := filepath.Glob(filepath.Join(root, "bus", "w1", "devices", family+"*"))
		for _, dir := range dirs {
			if exists(filepath.Join(dir, "w1_slave")) || exists(filepath.Join(dir, "temperature")) {
				all = append(all, Sensor{ID: "w1:" + filepath.Base(dir), Path: dir, Max: w1Max, bus: "w1"})
			}
		}
	}
	return all
}

func findHwmon(root string) (all []Sensor) {
	files, _ := filepath.Glob(filepath.Join(root, "class", "hwmon", "hwmon*", "temp*_input"))
	for _, file := range files {
		dir := filepath.Dir(file)
		ch := strings.TrimSuffix(filepath.Base(file), "_input")
		all = append(all, Sensor{
			ID: "hwmon:" + named(dir) + "/" + ch, Label: text(filepath.Join(dir, ch+"_label")),
			Path: dir, bus: "hwmon", channel: ch,
		})
	}
	return all
}

func findIIO(root string) (all []Sensor) {
	var files []string
	for _, ending := range []string{"_input", "_raw"} {
		f, _ := filepath.Glob(filepath.Join(root, "bus", "iio", "devices", "iio:device*", "in_temp*"+ending))
		files = append(files, f...)
	}
	seen := map[string]bool{}
	for _, file := range files {
		dir, base := filepath.Split(file)
		ch := base[:strings.LastIndexByte(base, '_')]
		if seen[dir+ch] { // both scaled and raw
			continue
		}
		seen[dir+ch] = true
		all = append(all, Sensor{
			ID: "iio:" + named(dir) + "/" + strings.TrimPrefix(ch, "in_"), Label: text(filepath.Join(dir, ch+"_label")),
			Path: filepath.Clean(dir), bus: "iio", channel: ch,
		})
	}
	return all
}

// RefuseMelt says in words why the sensor must not watch dry sugar melt, which
// it does between 160 and 190 °C, and whether that is so.
func (s Sensor) RefuseMelt() (why string, refused bool) {
	if s.Max == 0 || s.Max >= 190 {
		return "", false
	}
	return fmt.Sprintf("%s measures up to %.0f °C and dry sugar melts at 160–190 °C: use it once the cream is in, and another probe for the melt", s.ID, float64(s.Max)), true
}

func named(dir string) string {
	if n := text(filepath.Join(dir, "name")); n != "" {
		return n
	}
	return filepath.Base(dir)
}

func exists(path string) bool {
	_, err := os.Stat(path)
	return err == nil
}

func text(path string) string {
	b, err := os.ReadFile(path)
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(b))
}
