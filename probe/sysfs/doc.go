// Package sysfs reads the temperature sensors that the Linux kernel has a
// driver for: the 1-wire bus, hwmon chips and industrial I/O converters.
//
// [Find] lists them by lasting names, and [New] makes a source from one. The
// attributes are those of the kernel's Documentation/w1, Documentation/hwmon
// and Documentation/ABI/testing/sysfs-bus-iio. Root is a setting, so that the
// package builds and tests everywhere.
package sysfs
